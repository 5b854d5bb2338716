"""Shared parts of the fault harness. Standard library only. Run a script as it stands: python tests/faults/kill_points.py --n 6

The commands it runs are pricing's own, of the Python that runs the script; --ingest, --dump, --verify, --fit and --report replace them.
Output: one line a case, then 'N passed, N failed'. Exit 0 only if nothing failed."""
import argparse, csv, hashlib, os, random, shlex, shutil, subprocess, sys, tempfile, time
HERE = os.path.dirname(os.path.abspath(__file__)); os.environ['PYTHONPATH'] = os.path.join(HERE, '..', '..') + os.pathsep + os.environ.get('PYTHONPATH', '')
def args(*extra):
    ap = argparse.ArgumentParser()
    tool = shlex.quote(sys.executable) + ' -m pricing '
    ours = dict(ingest=tool + 'add {file} --no-fit --home {ws}', dump=tool + 'export --out {out} --home {ws}', verify=tool + 'verify --home {ws}')
    for o in ('ingest', 'dump', 'verify', 'fit', 'report', 'serve'): ap.add_argument('--' + o, default=ours.get(o))
    ap.add_argument('--ref-col', default='unit'); ap.add_argument('--price-col', default='price'); ap.add_argument('--n', type=int, default=20); ap.add_argument('--seed', type=int, default=1)
    for e, d in extra: ap.add_argument(e, default=d)
    return ap.parse_args()
def sh(tpl, timeout=60, pre=None, env=None, wrap=(), **kw):
    cmd = list(wrap) + [t.format(**kw) for t in shlex.split(tpl)]
    try:
        p = subprocess.run(cmd, capture_output=True, timeout=timeout, preexec_fn=pre, env=dict(os.environ, **(env or {})), stdin=subprocess.DEVNULL)
        return p.returncode, (p.stdout + p.stderr).decode('utf-8', 'replace')
    except subprocess.TimeoutExpired: return 'timeout', ''
def dump(a, ws):
    """current sales as {ref: [price, ...]}, or ('error', text)"""
    with tempfile.TemporaryDirectory() as d:
        o = os.path.join(d, 'o.csv'); rc, t = sh(a.dump, ws=ws, out=o)
        if rc != 0 or not os.path.exists(o): return ('error', rc, t[-300:])
        r = {}
        for row in csv.DictReader(open(o, encoding='utf-8-sig', newline='')): r.setdefault(row[a.ref_col], []).append(float(row[a.price_col] or 'nan'))
        return r
def ledger(path, refs, bump=0, start=0):
    """a plain ledger with invented rows; price = 50 + number + bump"""
    with open(path, 'w', newline='', encoding='utf-8') as f:
        w = csv.writer(f); w.writerow('Ref,Type,Age (years),Condition,Repair done,Features,Paid,Parts,Hours,Bought,Listed,Asked,Sold,Sale price,Outcome'.split(','))
        for i in range(start, start + refs): w.writerow([f'R{i:05d}', ['Oven', 'Fridge', 'Dishwasher'][i % 3], i % 12, 'Good', 'Door seal replaced', 'White', 10, 5, 1.5, '2024-01-10', '2024-01-15', 60 + i % 200 + bump, '2024-02-%02d' % (i % 28 + 1), 50 + i % 200 + bump, 'Sold'])
    return path
def want(refs, bump=0, start=0): return {f'R{i:05d}': [float(50 + i % 200 + bump)] for i in range(start, start + refs)}
def tree(d):
    h = {}
    for r, _, fs in os.walk(d):
        for f in fs:
            p = os.path.join(r, f)
            try: h[os.path.relpath(p, d)] = hashlib.sha256(open(p, 'rb').read()).hexdigest()
            except OSError as e: h[os.path.relpath(p, d)] = type(e).__name__
    return h
class Tally:
    def __init__(s): s.ok = s.bad = s.skipped = 0
    def __call__(s, good, name, why=''):
        s.ok += bool(good); s.bad += not good
        print(('ok   ' if good else 'FAIL ') + name + ('' if good else '  <- ' + str(why)[:300]), flush=True)
    def skip(s, name): s.skipped += 1; print('skip ' + name)
    def end(s): print(f'{s.ok} passed, {s.bad} failed, {s.skipped} skipped'); sys.exit(1 if s.bad else 0)
def clean_error(rc, text):
    """an error a person can use: non-zero, no traceback, not killed by a signal"""
    return rc not in (0, 'timeout') and rc > 0 and 'Traceback' not in text and len(text.strip()) > 0
