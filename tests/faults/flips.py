"""Single-bit flips spread over every file that pricing wrote into data/ and models/: each must be noticed and the damaged file named, or mean nothing: the same export.

    python tests/faults/flips.py --n 2000 [--fit '… fit --home {ws}']

Runs in this process: a flip, then everything that `pricing verify` checks, then the byte as it was. Standard library and pricing only.
"""
from common import *
from pathlib import Path

sys.path.insert(0, os.path.join(HERE, '..', '..'))
from pricing.ingest import Answers
from pricing.pipeline import adding, keeping
from pricing.basis.home import Home
from pricing.basis.settings import Settings
import datetime

a = args(); T = Tally(); R = random.Random(a.seed); d = tempfile.mkdtemp(); home = Home(Path(d) / 'home'); today = datetime.date(2026, 11, 25)
bad = Path(d) / 'bad.csv'
bad.write_text(open(ledger(d + '/a.csv', 60)).read() + 'X1,Oven,3,Good,Cleaned,White,10,5,1.5,2024-01-10,2024-01-15,90,31/02/2024,80,Sold\n')
adding.add(home, bad, Settings(), today, Answers(date_order='mdy'))
adding.add(home, Path(ledger(d + '/b.csv', 30, bump=7)), Settings(), today)
keeping.undo(home, None, today); keeping.undo(home, None, today, back=True)
if a.fit: rc, t = sh(a.fit, ws=str(home.path)); T(rc == 0, 'fit', t[-300:])
files = [p for p in sorted(home.path.rglob('*')) if p.is_file() and p.name != 'lock' and p.relative_to(home.path).parts[0] in ('data', 'models')]
T(not keeping.verify(home)[0], 'whole before'); missed = []; wrong = []; harmless = 0; whole = keeping.export(home, None)
for i in range(a.n):
    p = files[i % len(files)]; raw = p.read_bytes(); at = R.randrange(len(raw)); b = bytearray(raw); b[at] ^= 1 << R.randrange(8); p.write_bytes(bytes(b))
    found = {Path(str(x.file)).name for x in keeping.verify(home)[0]}
    try: same = keeping.export(home, None) == whole
    except Exception: same = False
    p.write_bytes(raw)
    if not found and same and p.name == 'record.db': harmless += 1
    elif not found: missed.append((p.name, at))
    elif found != {p.name} and not (p.name.endswith('-open.json') and found == {p.name}): wrong.append((p.name, found))
print(len(files), 'files:', ', '.join(str(p.relative_to(home.path)) for p in files))
T(not missed, f'noticed {a.n - len(missed) - harmless}, without meaning {harmless} of {a.n}', missed[:5]); T(not wrong, 'each names exactly its file', wrong[:5]); T(not keeping.verify(home)[0], 'whole after')
shutil.rmtree(d, ignore_errors=True); T.end()
