"""CSV injection and XSS in what the tool writes. --report 'TOOL report --workspace {ws} --out {out}' writes HTML/CSV files into {out}; dump is checked too.
Pass: no CSV cell starts with = + - @ TAB CR (after quotes and blanks) unless the whole cell is a plain number; also after a full-width look-alike; HTML shows the text, runs nothing, loads nothing from outside."""
from common import *
import html.parser, re
a = args(('--corpus', os.path.join(HERE, '..', 'corpus'))); T = Tally(); d = tempfile.mkdtemp(); ws = d + '/w'; o = d + '/out'; os.makedirs(ws); os.makedirs(o)
rows = [f for f in ('formula_cells.csv', 'naughty_unicode.csv', 'formula_cells_2.csv', 'rtl_and_emoji.csv') if os.path.exists(os.path.join(a.corpus, f))]
for f in rows:  # one workspace a file: the corpus files share their Refs
    w = ws + f; oo = o + '/' + f[:-4]; os.makedirs(w); os.makedirs(oo)
    rc, t = sh(a.ingest, ws=w, file=os.path.join(a.corpus, f)); T(rc == 0, 'ingest ' + f, t[-200:])
    if a.fit: sh(a.fit, ws=w)
    if a.report: rc, t = sh(a.report, ws=w, out=oo); T(rc == 0, 'report ' + f, t[-200:])
    sh(a.dump, ws=w, out=oo + '/dump.csv')
NUM = re.compile(r'^[+-]?\d+([.,]\d+)?%?$'); n = 0; B = '\ufeff \'"'
class P(html.parser.HTMLParser):
    def __init__(s): super().__init__(); s.bad = []
    def handle_starttag(s, tag, at):
        for k, v in at:
            if k.startswith('on'): s.bad.append((tag, k, v))
            if k in ('src', 'href', 'action') and re.match(r'\s*(https?:)?//|\s*javascript:|\s*data:text/html', v or '', re.I): s.bad.append((tag, k, v))
        if tag in ('iframe', 'object', 'embed', 'base'): s.bad.append((tag,))
for r, _, fs in os.walk(o):
    for f in fs:
        p = os.path.join(r, f); n += 1
        if f.endswith('.csv'):
            raw = open(p, 'rb').read(); bad = []
            for i, row in enumerate(csv.reader(raw.decode('utf-8-sig').splitlines(True))):
                bad += [(i, c[:30]) for c in row if c and (c[0] in '=+-@\t\r\n\uff1d\uff0b\uff0d\uff20' or c.lstrip()[:1] in tuple('=+@')) and not NUM.match(c)]
            T(not bad, 'no live cell in ' + f, bad[:3])
        elif f.endswith(('.html', '.htm')):
            h = open(p, encoding='utf-8').read(); q = P(); q.feed(h); T(not q.bad and '<script>alert(1)' not in h, 'no live text in ' + f, q.bad[:3])
T(n > 0, 'something was written'); shutil.rmtree(d, ignore_errors=True); T.end()
