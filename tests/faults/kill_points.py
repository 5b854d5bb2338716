"""kill -9 during ingest (and fit): at N random times, and at every k-th file-changing system call (strace).
Pass: after each kill the record reads as exactly the state before or after the ingest, verify is content, and
running the same ingest again gives exactly the state after; a second run adds nothing."""
from common import *
import signal
a = args(('--rows', '400'), ('--max-syscalls', '60'), ('--max-writes', '18')); T = Tally(); R = random.Random(a.seed); rows = int(a.rows)
d = tempfile.mkdtemp(); f1 = ledger(d + '/a.csv', 30); f2 = ledger(d + '/b.csv', rows, bump=7)
base = d + '/base'; os.makedirs(base); rc, t = sh(a.ingest, ws=base, file=f1); T(rc == 0, 'first ingest', t)
A = want(30); B = {**A, **want(rows, 7)}
T(dump(a, base) == A, 'state before', dump(a, base))
w = d + '/t'; shutil.copytree(base, w); t0 = time.time(); sh(a.ingest, ws=w, file=f2); dur = time.time() - t0; T(dump(a, w) == B, 'state after, no kill', ''); shutil.rmtree(w)
def check(name, ws):
    s = dump(a, ws); ok = s in (A, B)
    if not ok: return T(False, name, f'torn state: {s if isinstance(s, tuple) else (len(s), "refs, duplicates:", sum(len(v) > 1 for v in s.values()))}')
    if a.verify:
        rc, t = sh(a.verify, ws=ws)
        if rc != 0: return T(False, name, 'verify unhappy: ' + t[-200:])
    rc, t = sh(a.ingest, ws=ws, file=f2)
    if dump(a, ws) != B: return T(False, name, f're-run after the kill does not give the state after: rc {rc} {t[-200:]}')
    sh(a.ingest, ws=ws, file=f2); T(dump(a, ws) == B, name, 'second run changed the record')
t0 = time.time()
for i in range(a.n):
    ws = d + f'/k{i}'; shutil.copytree(base, ws); delay = R.uniform(0, dur * 1.05)
    p = subprocess.Popen([t.format(ws=ws, file=f2) for t in shlex.split(a.ingest)], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True)
    try: p.wait(delay)
    except subprocess.TimeoutExpired: os.killpg(p.pid, signal.SIGKILL); p.wait()
    check(f'kill at {delay*1000:.0f} of {dur*1000:.0f} ms', ws); shutil.rmtree(ws)
# exact points: kill at the k-th call that changes the file system inside the workspace
if shutil.which('strace'):
    calls = 'rename,renameat,renameat2,link,linkat,unlink,unlinkat,fsync,fdatasync,ftruncate,mkdir,mkdirat'
    ws = d + '/s'; shutil.copytree(base, ws); lg = d + '/log'
    sh(a.ingest, ws=ws, file=f2, wrap=('strace', '-f', '-qq', '-o', lg, '-e', 'trace=' + calls))
    seen = [l.split()[1].split('(')[0] for l in open(lg) if '(' in l and 'resumed' not in l and '+++' not in l and '---' not in l]; shutil.rmtree(ws)
    pts = [(c, k) for c in dict.fromkeys(seen) for k in range(1, seen.count(c) + 1)][:int(a.max_syscalls)]
    wr = [('write', k) for k in range(1, 400, 23)][:int(a.max_writes)]
    for c, k in pts + wr:
        if time.time() - t0 > 150: T.skip('time is up'); break
        ws = d + '/s'; shutil.copytree(base, ws)
        sh(a.ingest, ws=ws, file=f2, wrap=('strace', '-f', '-qq', '-o', '/dev/null', '-P', ws, '-e', f'trace={c}', '-e', f'inject={c}:signal=SIGKILL:when={k}') if False else ('strace', '-f', '-qq', '-o', '/dev/null', '-e', f'trace={c}', '-e', f'inject={c}:signal=SIGKILL:when={k}'))
        check(f'kill at {c} no. {k}', ws); shutil.rmtree(ws)
else: T.skip('strace not here')
if a.fit:
    ws = d + '/f'; shutil.copytree(base, ws); rc, t = sh(a.fit, ws=ws); before = tree(ws)
    for i in range(max(3, a.n // 4)):
        p = subprocess.Popen([t.format(ws=ws) for t in shlex.split(a.fit)], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True)
        try: p.wait(R.uniform(0, 1.5))
        except subprocess.TimeoutExpired: os.killpg(p.pid, signal.SIGKILL); p.wait()
        ok = dump(a, ws) == A; rc, t = sh(a.fit, ws=ws); T(ok and rc == 0, f'kill during fit {i}', t[-200:])
shutil.rmtree(d, ignore_errors=True); T.end()
