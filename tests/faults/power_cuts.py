"""The power goes, at every moment of every act: the writes of an act are recorded (strace), and each
state that a disk could then hold is laid out in a folder and looked at.

    python tests/faults/power_cuts.py              all acts, every state (minutes)
    python tests/faults/power_cuts.py --most 40    so many states an act, by chance
    python tests/faults/power_cuts.py --only undo,drop

What a disk may have lost when the power goes after the n-th call: every write not followed by an
fsync of its file, and every name made, moved or removed without an fsync of its folder. Of these
are tried, at each n: none lost, all lost, each one alone lost, each one alone kept, only the bytes
or only the names lost, and each write half done. What is lost among ordered renames is more than
ext4, xfs or APFS would lose; a half write is more than SQLite asks of a disk (a sector).

Each state must open, be content with itself (`verify`), hold the record as before or after the act,
and as after from the moment that the program said so (its first line, its end); take one more
unit; have saved numbers that open, those of before or after; a backup that opens whole or is not
there. Pillai and others (2014), All file systems are not created equal, OSDI 14, is the method.
"""
from common import *
import re
from collections import Counter
from pathlib import Path

CALLS = "openat,open,creat,close,write,pwrite64,writev,pwritev,lseek,fsync,fdatasync,rename,renameat,renameat2,link,linkat,unlink,unlinkat,mkdir,mkdirat,rmdir,ftruncate,truncate,copy_file_range,sendfile,dup,dup2,dup3,fallocate"
CALL = re.compile(r"(\w+)\((.*)\)\s+= (-?\d+)(?:<([^>]*)>)?.*$", re.DOTALL)
STRING = re.compile(r'"((?:[^"\\]|\\.)*)"')
FD = re.compile(r"^(-?\d+)(?:<([^>]*)>)?")


def plain(text): return bytes.fromhex(text.replace("\\x", "")) if "\\x" in text else text.encode()
def path_of(text): return plain(text or "").decode("utf-8", "replace")


class Op:
    """One change of the disk. kind: create, mkdir, rmdir, rename, link, unlink (names) or write,
    cut (bytes of the file `node`); folder: whose fsync makes it last; lasting: the number of that
    fsync. sync: nothing changes, but what went before it stays."""
    def __init__(s, kind, a="", b="", node=0, at=0, data=b""):
        s.kind, s.a, s.b, s.node, s.at, s.data = kind, a, b, node, at, data
        s.folders = {os.path.dirname(x) for x in (a, b) if x}; s.lasting = None
    @property
    def is_bytes(s): return s.kind in ("write", "cut")


def calls(log):
    """The calls of a log in the order of their ends, those that were interrupted put together."""
    open_ = {}
    for line in open(log, encoding="latin-1"):
        pid, _, rest = line.partition(" "); rest = rest.strip()
        if rest.endswith("<unfinished ...>"): open_[pid] = rest[: -len("<unfinished ...>")]; continue
        if rest.startswith("<... "): rest = open_.pop(pid, "") + rest.partition("resumed>")[2]
        m = CALL.match(rest)
        if m and int(m[3]) >= 0: yield m[1], m[2], int(m[3]), m[4]


def recorded(command, root, log, env=None):
    """(changes of the disk below `root`, the count of them at the program's first line, exit, text)."""
    nodes, number = {}, [0]
    def new(): number[0] += 1; return number[0]
    for p in sorted(Path(root).rglob("*")): nodes[str(p)] = new() if p.is_file() else 0
    first = dict(nodes)
    done = subprocess.run(["strace", "-f", "-y", "-xx", "-qq", "-s", "60000000", "-o", log, "-e", "trace=" + CALLS, *command], capture_output=True, env=dict(os.environ, **(env or {}), OPENBLAS_NUM_THREADS="1"), stdin=subprocess.DEVNULL)
    ops, said, of_fd, offset, appends = [], None, {}, {}, set()
    inside = lambda p: p == root or p.startswith(root + "/")
    def last(match):
        for op in ops:
            if op.lasting is None and match(op): op.lasting = len(ops)
        ops.append(Op("sync"))
    for name, given, got, _ in calls(log):
        texts = [plain(x) for x in STRING.findall(given)]
        m = FD.match(given); fd, where = (int(m[1]), path_of(m[2])) if m else (-1, "")
        if name in ("openat", "open", "creat"):
            path = texts[0].decode("utf-8", "replace"); path = path if path.startswith("/") else os.path.join(path_of((re.match(r"AT_FDCWD<([^>]*)>", given) or FD.match(given) or [0, ""])[1]), path)
            of_fd.pop(got, None); offset[got] = 0
            if not inside(path) or not ("O_WRONLY" in given or "O_RDWR" in given or "O_CREAT" in given): continue
            if path not in nodes:
                nodes[path] = new(); ops.append(Op("create", path, node=nodes[path]))
            elif "O_TRUNC" in given: ops.append(Op("cut", node=nodes[path], at=0))
            of_fd[got] = nodes[path]
            if "O_APPEND" in given: raise SystemExit("a file is opened to append: not followed here")
        elif name in ("dup", "dup2", "dup3"):
            if fd in of_fd: raise SystemExit("a handle on the home is doubled: not followed here")
        elif name == "close": of_fd.pop(fd, None)
        elif name in ("write", "pwrite64"):
            if fd == 1 and not inside(where) and said is None: said = len(ops)
            if fd not in of_fd: continue
            at = offset[fd] if name == "write" else int(given.rsplit(",", 1)[1])
            if name == "write": offset[fd] = at + got
            ops.append(Op("write", node=of_fd[fd], at=at, data=texts[0][:got]))
        elif name == "lseek": offset[fd] = got
        elif name in ("fsync", "fdatasync"):
            if fd in of_fd: node = of_fd[fd]; last(lambda op: op.is_bytes and op.node == node)
            elif inside(where) or where == os.path.dirname(root): last(lambda op: not op.is_bytes and where in op.folders)
        elif name == "ftruncate" and fd in of_fd: ops.append(Op("cut", node=of_fd[fd], at=int(given.rsplit(",", 1)[1])))
        elif name.startswith(("rename", "link", "unlink", "mkdir", "rmdir")):
            bases = [path_of(x) for x in re.findall(r"(?:AT_FDCWD|\d+)<([^>]*)>", given)] or [""]
            paths = [t.decode("utf-8", "replace") for t in texts]
            paths = [p if p.startswith("/") else os.path.join(bases[min(i, len(bases) - 1)], p) for i, p in enumerate(paths)]
            if not any(map(inside, paths)): continue
            kind = "rmdir" if "AT_REMOVEDIR" in given or name == "rmdir" else re.match("[a-z]+?(?=at2?$|$|at)", name)[0]
            ops.append(Op(kind, *paths))
            if kind == "mkdir": nodes[paths[0]] = 0
            elif kind in ("unlink", "rmdir"): nodes.pop(paths[0], None)
            elif kind == "link": nodes[paths[1]] = nodes[paths[0]]; ops[-1].node = nodes[paths[1]]
            elif kind == "rename":
                ops[-1].node = nodes.get(paths[0], 0)
                for old in [p for p in nodes if p == paths[0] or p.startswith(paths[0] + "/")]: nodes[paths[1] + old[len(paths[0]):]] = nodes.pop(old)
        elif name in ("copy_file_range", "sendfile", "writev", "pwritev", "fallocate", "truncate"):
            if any(f in of_fd for f in (fd, *map(int, re.findall(r"(?:^|, )(\d+)<", given)))): raise SystemExit(f"{name} on the home is not followed here")
    return first, ops, said if said is not None else len(ops), done.returncode, (done.stdout + done.stderr).decode("utf-8", "replace")


def laid_out(first, data, ops):
    """{path: bytes, or None for a folder} after some changes of the disk."""
    names, held = dict(first), {node: bytearray(text) for node, text in data.items()}
    for op in ops:  # "sync" changes nothing
        if op.kind == "write":
            f = held.setdefault(op.node, bytearray())
            if len(f) < op.at: f.extend(bytes(op.at - len(f)))
            f[op.at : op.at + len(op.data)] = op.data
        elif op.kind == "cut": f = held.setdefault(op.node, bytearray()); f[op.at :] = bytes(max(0, op.at - len(f)))
        elif op.kind == "create": names[op.a] = op.node
        elif op.kind == "link": names[op.b] = op.node
        elif op.kind == "mkdir": names[op.a] = 0
        elif op.kind in ("unlink", "rmdir"): names.pop(op.a, None)
        elif op.kind == "rename":
            if op.node: names.pop(op.a, None); names[op.b] = op.node
            else:
                for old in [p for p in names if p == op.a or p.startswith(op.a + "/")]: names[op.b + old[len(op.a):]] = names.pop(old)
    # a name in a folder that was lost is lost with it
    def there(p): return p in names and names[p] == 0
    def reached(p, root): return os.path.dirname(p) == root or (there(os.path.dirname(p)) and reached(os.path.dirname(p), root))
    root = ROOT_OF[0]
    return {p: (None if n == 0 else bytes(held.get(n, b""))) for p, n in names.items() if p == root or reached(p, root)}


ROOT_OF = [""]


def states(first, data, ops):
    """(how many calls were done, what was lost in words, the disk): every state once."""
    seen = set()
    for n in range(len(ops) + 1):
        loose = [op for op in ops[:n] if op.kind != "sync" and (op.lasting is None or op.lasting >= n)]
        drop = lambda lost: [op for op in ops[:n] if op not in lost]
        tries = [("none lost", ops[:n]), ("all lost", drop(loose)), ("bytes lost", drop([o for o in loose if o.is_bytes])), ("names lost", drop([o for o in loose if not o.is_bytes]))]
        for op in loose:
            tries += [(f"{op.kind} lost", drop([op])), (f"{op.kind} alone kept", drop([o for o in loose if o is not op]))]
            if op.kind == "write" and len(op.data) > 1:
                half = Op("write", node=op.node, at=op.at, data=op.data[: len(op.data) // 2])
                tries += [("half a write", [half if o is op else o for o in ops[:n]]), ("half a write alone", [half if o is op else o for o in ops[:n] if o is op or o not in loose])]
        for what, kept in tries:
            disk = laid_out(first, data, kept)
            mark = hashlib.sha256(repr([(p, hashlib.sha256(b or b"").digest(), b is None) for p, b in sorted(disk.items())]).encode()).digest() + (n >= SAID[0]).to_bytes(1, "big") + (n == len(ops)).to_bytes(1, "big")
            if mark not in seen: seen.add(mark); yield n, what, disk


SAID = [0]


def put(disk, root, target):
    for p, b in sorted(disk.items()):
        where = target + p[len(root):]
        if b is None: os.makedirs(where, exist_ok=True)
        else: os.makedirs(os.path.dirname(where), exist_ok=True); open(where, "wb").write(b)


def seen_in(home_path):
    """What a home holds: units, acts, the newest saved numbers; and what is wrong with it."""
    from pricing.basis.home import Home
    from pricing.basis.problems import Refused
    from pricing.model import saved
    from pricing.record import entries, store
    from pricing.record.verify import verify_record
    home, wrong = Home(Path(home_path)), []
    try:
        with store.reading(home) as db: units = hashlib.sha256(repr(list(db.execute("select * from units order by unit"))).encode()).hexdigest()[:12]
        acts = len(entries.load(home).entries)
        wrong += [str(p) for p in verify_record(home).damaged]
    except Refused as error: return None, [str(error)]
    try: number = saved.load(home).number if saved.newest(home) else 0
    except Refused as error: number, wrong = -1, [*wrong, str(error)]
    return (units, acts, number), wrong


def takes_one_more(home_path):
    from datetime import date
    from pricing.basis.home import Home
    from pricing.basis.settings import load_settings
    from pricing.pipeline.by_hand import new_unit
    home = Home(Path(home_path)); new_unit(home, {"unit": "ZZ9", "type": "dryer", "got": "2024-03-01"}, load_settings(home), date(2024, 3, 2))


def backup_held(path):
    from pricing.record.verify import read_backup
    return len(read_backup(Path(path)))


def judged(inner, before, after, n, n_all, disk, root, lay, kind):
    """"" where a state is as it must be, otherwise what is wrong. Runs in a process of its own."""
    put(disk, root, lay); home = lay + inner
    if kind == "backup":
        out = lay + "/out/b.zip"
        if os.path.exists(out): backup_held(out)
        elif n >= SAID[0]: return "the backup was said to be there and is not"
        return ""
    if kind == "restore" and not os.path.exists(home + "/data/record.db"):
        if n >= SAID[0]: return "said to be restored, and nothing is there"
        return "" if not os.path.isdir(home) or not os.listdir(home) else f"a part of a home: {sorted(os.listdir(home))}"
    now, wrong = seen_in(home)
    if wrong: return "; ".join(wrong)
    record, numbers = now[:2], now[2]
    if record not in (before[:2], after[:2]): return f"neither before nor after: {now}, {before}, {after}"
    if n >= SAID[0] and record != after[:2]: return "said to be done, and is not in the record"
    if numbers not in (before[2], after[2]): return f"saved numbers {numbers}, neither {before[2]} nor {after[2]}"
    if n == n_all and now != after: return f"ended, and not as it was then: {now}, {after}"
    takes_one_more(home); _, wrong = seen_in(home)
    return "after one more unit: " + "; ".join(wrong) if wrong else ""


def apart(call):
    """The answer of a call made in a forked process, or what went wrong there."""
    r, w = os.pipe(); pid = os.fork()
    if pid == 0:
        os.close(r)
        try: text = call()
        except BaseException as error: text = f"{type(error).__name__}: {error}"
        os.write(w, (text or "").encode()[:4000]); os._exit(0)
    os.close(w); text = b""
    while part := os.read(r, 1 << 16): text += part
    os.close(r); _, status = os.waitpid(pid, 0)
    return text.decode() if status == 0 else f"the process ended with {status}"


a = args(("--most", ""), ("--only", "")); T = Tally(); R = random.Random(a.seed)
if not shutil.which("strace"): T.skip("strace not here"); T.end()
sys.path.insert(0, os.path.join(HERE, "..", ".."))
d = os.path.realpath(tempfile.mkdtemp(dir="/dev/shm" if os.path.isdir("/dev/shm") else None)); tool = [sys.executable, "-m", "pricing"]
press = "import sys; from datetime import date; from pathlib import Path; from pricing.basis.home import Home; from pricing.basis.settings import load_settings; from pricing.pipeline.by_hand import change_unit, current; h = Home(Path(sys.argv[1])); change_unit(h, 'R00003', {'price': '77'}, current(h, 'R00003')['batch'], load_settings(h), date(2024, 3, 1), 'sold'); print('done', flush=True)"
one, two = ledger(d + "/a.csv", 30), ledger(d + "/b.csv", 60, bump=7)
home = "{root}/home"; H = ["--home", home]
ACTS = {  # name: (what is done before, the act, kind)
    "first add": ([], [*tool, "add", one, "--no-fit", *H], ""),
    "add": ([["add", one, *H]], [*tool, "add", two, *H], ""),
    "press": ([["add", one, *H]], [sys.executable, "-c", press, home], ""),
    "undo": ([["add", one, "--no-fit", *H], ["add", two, "--no-fit", *H]], [*tool, "undo", *H], ""),
    "drop": ([["add", one, "--no-fit", *H]], [*tool, "drop", "R00003", *H], ""),
    "fit": ([["add", one, *H], ["add", two, "--no-fit", *H]], [*tool, "fit", *H], ""),
    "merge": ([["add", one, "--no-fit", "--home", "{root}/other"], ["add", two, "--no-fit", *H]], [*tool, "add", "{root}/other", "--no-fit", *H], ""),
    "backup": ([["add", one, *H]], [*tool, "backup", "--out", "{root}/out/b.zip", *H], "backup"),
    "restore": ([["add", one, "--home", "{root}/other"], ["backup", "--out", "{root}/b.zip", "--home", "{root}/other"]], [*tool, "restore", "{root}/b.zip", *H], "restore"),
}
for name, (prepare, act, kind) in ACTS.items():
    if a.only and name not in a.only.split(","): continue
    root = f"{d}/{name.replace(' ', '')}"; os.makedirs(root); ROOT_OF[0] = root
    if kind == "backup": os.makedirs(root + "/out")
    filled = lambda command: [x.format(root=root) if "{root}" in x else x for x in command]
    for command in prepare:
        done = subprocess.run([*tool, *filled(command)], capture_output=True, text=True, stdin=subprocess.DEVNULL)
        if done.returncode: T(False, name, done.stdout + done.stderr)
    keep = d + "/first"; shutil.rmtree(keep, ignore_errors=True); shutil.copytree(root, keep)
    first_data = {str(p): p.read_bytes() for p in Path(root).rglob("*") if p.is_file()}
    # looking at a home may write to it: only copies are looked at
    before = seen_in(keep + "/home")[0] if kind == "" else None
    first, ops, SAID[0], rc, text = recorded(filled(act), root, d + "/log")
    data = {first[p]: b for p, b in first_data.items()}
    if rc: T(False, f"{name}: the act itself", text); continue
    end = {str(p)[len(root):]: p.read_bytes() for p in Path(root).rglob("*") if p.is_file()}
    ours = {p[len(root):]: b for p, b in laid_out(first, data, ops).items() if b is not None}
    T(end == ours, f"{name}: the calls that were recorded give the folder that is there", sorted(p for p in {*end, *ours} if end.get(p) != ours.get(p)))
    shutil.rmtree(keep); shutil.copytree(root, keep); after = seen_in(keep + "/home")[0] if kind != "backup" else None; before = before or after
    todo = list(states(first, data, ops)); n_all = len(todo)
    if a.most and len(todo) > int(a.most): todo = R.sample(todo, int(a.most))
    bad = Counter(); lay = d + "/lay"
    for n, what, disk in todo:
        shutil.rmtree(lay, ignore_errors=True); os.makedirs(lay)
        why = apart(lambda: judged("/home", before, after, n, len(ops), disk, root, lay, kind))
        if why:
            bad[why] += 1
            if bad[why] == 1: print(f"     {name}, after call {n} of {len(ops)} ({ops[n - 1].kind if n else ''} {os.path.basename(ops[n - 1].a or '') if n else ''}), {what}: {why[:400]}", flush=True)
    T(not bad, f"{name}: {len(ops)} changes of the disk, {len(todo)} of {n_all} states, {len(todo) - bad.total()} as they must be", bad.most_common(3))
shutil.rmtree(d, ignore_errors=True); T.end()
