# -*- coding: utf-8 -*-
"""Checks of this folder. Prints one line a check; exit 1 if one fails. Reads only the CSV files and names.md."""
import csv, re, sys, unicodedata, collections
D = (sys.argv[1].rstrip('/') if len(sys.argv) > 1 else __import__('os').path.dirname(__import__('os').path.abspath(__file__))) + '/'
R = lambda n: list(csv.DictReader(open(D + n, encoding='utf-8', newline='')))
T, FA, FI, AL, CA, DT = map(R, ('types.csv', 'faults.csv', 'findings.csv', 'aliases.csv', 'cautions.csv', 'door_tests.csv'))
TS, SS, CB, SE, DE, FT, PW = map(R, ('told_shares.csv', 'stream_shares.csv', 'comebacks.csv', 'seasons.csv', 'delivery.csv', 'features.csv', 'plain_words.csv'))
md = open(D + 'names.md', encoding='utf-8').read()
bad = 0
def chk(ok, what, detail=''):
    global bad; bad += not ok; print(('ok   ' if ok else 'FAIL ') + what + ((': ' + str(detail)) if detail and not ok else ''))
def squash(t): return " ".join("".join(c if c.isalnum() else " " for c in unicodedata.normalize("NFKC", t).casefold()).split())
# names.md
mt = [re.match(r'\| \*?(.+?) \| (\w+) \|', l) for l in md.split('## (b)')[0].splitlines()]
mtypes = {m.group(1) for m in mt if m} - {'type', '---'}
mf = {}
for l in md.split('## (c)')[1].split('## (d)')[0].splitlines():
    m = re.match(r'\*\*(\w+)\*\* \(\d+\): (.*)', l)
    if m: mf[m.group(1)] = [x.strip().lstrip('*') for x in re.split(r'; (?!owner upgraded)', m.group(2))]
mfind = [x.strip() for l in md.split('## (d)')[1].split('## Tags')[0].splitlines() if l.startswith('**') for x in l.split('**: ')[1].split('; ')]
plain = {r['word'] for r in PW}
chk(len(mtypes) == 49 and mtypes == {r['type'] for r in T}, 'types of names.md = types.csv (%d)' % len(mtypes), mtypes ^ {r['type'] for r in T})
chk(sum(len(v) for v in mf.values()) == 151, 'names.md: %d faults in %d families' % (sum(map(len, mf.values())), len(mf)), {k: len(v) for k, v in mf.items()})
chk(all(len(set(v)) == len(v) for v in mf.values()), 'fault names unique within a family')
chk(set(mfind) == {r['finding'] for r in FI}, 'findings of names.md = findings.csv (%d)' % len(mfind), set(mfind) ^ {r['finding'] for r in FI})
have = collections.defaultdict(set)
for r in FA: have[r['family']].add(r['fault_as_told'])
miss = [(k, f) for k, v in mf.items() for f in v if f not in have[k]]
chk(not miss, 'every fault of names.md has figures in faults.csv in its family', miss)
extra = [(k, f) for k, v in have.items() for f in v if f not in mf.get(k, []) and f not in mf['any']]
chk(not extra, 'no fault in faults.csv that names.md does not have', extra)
# names used elsewhere
types = {r['type'] for r in T}; fams = set(have) ; kinds = {k for r in T for k in r['fault_family'].split(';')} - {'none'}
findk = {(r['family'], r['finding']) for r in FI}; finds = {r['finding'] for r in FI}
allf = {f for v in mf.values() for f in v}
def tlist(s): return [x.strip() for x in s.split(';') if x.strip()]
chk(not [x for r in FA for x in tlist(r['types']) if x not in types | plain | {'all'}], 'types named in faults.csv exist')
def parse(r):
    out = {}
    for it in r['findings'].split('; '):
        k, _, rest = it.rpartition(': ') if ': ' in it else ('', '', it)
        name, sh = rest.rsplit(' ', 1); out[(k or r['family'], name)] = float(sh)
    return out
P = [parse(r) for r in FA]
chk(not [(r['fault_as_told'], k) for r, p in zip(FA, P) for k in p if k not in findk], 'every finding in faults.csv has a row in findings.csv in its family')
used = {k[1] for p in P for k in p}
chk(used == finds, 'every finding is used by a fault', finds - used)
dev = max(abs(sum(p.values()) - 1) for p in P); chk(dev < 1e-9, 'findings shares of each of %d fault rows sum to 1 (largest gap %.1e)' % (len(P), dev))
# figures of a row = mixture of findings
F = {(r['family'], r['finding']): r for r in FI}
def mixfig(p):
    g = lambda k, c: float(F[k][c])
    fix = sum(s * g(k, 'fix_chance') for k, s in p.items())
    parts = sum(s * g(k, 'fix_chance') * g(k, 'parts_mean') for k, s in p.items()) / fix if fix else 0
    return fix, parts, sum(s * g(k, 'bench_h') for k, s in p.items())
worst = [0, 0, 0]
for r, p in zip(FA, P):
    if r['decision'] in ('leave it', 'scrap only', 'licensed person'): continue
    for i, (m, v) in enumerate(zip(mixfig(p), (r['fix'], r['parts'], r['bench_h']))):
        v = float(v); worst[i] = max(worst[i], abs(m - v) / max(v, [.01, 1, .05][i]))
chk(max(worst) < .01, 'figures of every fault row = mixture of its findings (largest relative gap: fix %.4f, parts %.4f, hours %.4f)' % tuple(worst))
chk(all(r['fix'] == r['fix_chance'] for r in FA), 'fix = fix_chance')
# untold = mixture of the told
row = {}
for r in FA:
    for t in tlist(r['types']): row[r['family'], r['fault_as_told'], t] = r
def told_row(k, f, t): return row.get((k, f, t)) or row[k, f, 'all']
def unk(t, f): return next(r for r in FA if r['fault_as_told'] == f and r['types'] == t)
U = 'not known / "doesn\'t work"'
sh = collections.defaultdict(dict)
for r in TS: sh[r['type']][r['family'], r['fault_as_told']] = float(r['share'])
chk(all(abs(sum(v.values()) - 1) < 1e-4 for v in sh.values()), 'told shares of each of %d types sum to 1' % len(sh))
chk(not [(t, k) for t, v in sh.items() for k in v if k[1] not in mf.get(k[0], []) and k[1] not in mf['any']], 'told shares name canonical faults only')
def mixtold(parts):
    fix = sum(s * float(r['fix']) for s, r in parts)
    return fix, sum(s * float(r['fix']) * float(r['parts']) for s, r in parts) / fix, sum(s * float(r['bench_h']) for s, r in parts)
w = [0, 0, 0]; n = 0
for t, v in sh.items():
    m = mixtold([(s, told_row(k, f, t)) for (k, f), s in v.items()]); r = unk(t, U); n += 1
    for i, c in enumerate(('fix', 'parts', 'bench_h')): w[i] = max(w[i], abs(m[i] - float(r[c])) / float(r[c]))
chk(max(w) < .01, 'untold fault of each of %d types = mixture of its told ones (largest relative gap: fix %.4f, parts %.4f, hours %.4f)' % (n, *w))
st = collections.defaultdict(dict)
for r in SS: st[r['family']][r['type']] = float(r['share'])
chk(all(abs(sum(v.values()) - 1) < 1e-9 for k, v in st.items() if k != 'silent works'), 'stream shares sum to 1 (%d lists)' % (len(st) - 1))
w = [0, 0, 0]; n = 0
for k, v in st.items():
    if k == 'silent works': continue
    word = 'all' if k == 'all' else k.replace('plain: ', '')
    if k == 'all': parts = [(s, row[x, U, 'all']) for x, s in v.items()]; r = row['any', U, 'all']
    elif k.startswith('plain'): parts = [(s, unk(t, U)) for t, s in v.items()]; r = row['any', U, word]
    else: parts = [(s, unk(t, U)) for t, s in v.items()]; r = row[k, U, 'all']
    n += 1; m = mixtold(parts)
    for i, c in enumerate(('fix', 'parts', 'bench_h')): w[i] = max(w[i], abs(m[i] - float(r[c])) / float(r[c]))
chk(max(w) < .01, 'untold fault of each of %d families and plain words = mixture of its types (largest relative gap: fix %.4f, parts %.4f, hours %.4f)' % (n, *w))
w = 0
for t, v in sh.items():
    by = collections.defaultdict(list)
    for (k, f), s in v.items(): by[k].append((s, told_row(k, f, t)))
    m = 0
    for k, l in by.items():
        tot = sum(s for s, _ in l); p = st['silent works'][k] if (k, 'works; owner upgraded', 'all') in row else 0
        m += tot * p * (float(row[k, 'works; owner upgraded', 'all']['fix']) if p else 0) + (1 - p) * sum(s * float(r['fix']) for s, r in l)
    w = max(w, abs(m - float(unk(t, 'nothing said')['fix'])) / m)
chk(w < .01, '"nothing said" = working share x works + rest x untold (largest relative gap %.4f)' % w)
chk(all(unk(t, U) for t in types | plain), 'every type and plain word has an untold row')
chk(all((k, U, 'all') in row for k in kinds), 'every fault family has an untold row')
# ranges
def inside(rows, lo, x, hi, nm): 
    b = [r for r in rows if not float(r[lo]) - 1e-9 <= float(r[x]) <= float(r[hi]) + 1e-9]; chk(not b, '%s: %s within %s..%s (%d rows)' % (nm, x, lo, hi, len(rows)), b[:2])
inside(T, 'low', 'price', 'high', 'types'); inside(T, 'disposal_low', 'disposal', 'disposal_high', 'types'); inside(FA, 'parts_low', 'parts', 'parts_high', 'faults'); inside(FI, 'parts_low', 'parts', 'parts_high', 'findings'); inside(FI, 'parts_low', 'parts_mean', 'parts_high', 'findings')
inside(CB, 'share_low', 'share_30d', 'share_high', 'comebacks'); inside(DE, 'low', 'usual', 'high', 'delivery'); inside(FT, 'low', 'ln_price', 'high', 'features'); inside(PW, 'low', 'price', 'high', 'plain words')
chk(all(0 <= float(r[c]) <= .97 for r in FI + FA for c in ('fix_chance', 'fix_if_tried')), 'chances between 0 and .97'); chk(all(float(r['fix_if_tried']) >= float(r['fix_chance']) - 1e-9 for r in FI + FA), 'fix if tried is never under fix as usually acted')
chk(all(len(r['season'].split()) in (0, 12) for r in T), 'seasons have 12 months or none')
g = lambda k, f: float(F[k, f]['fix_chance'])
chk(min(g('washer', 'door lock'), g('washer', 'foreign object removed'), g('washer', 'door catch or handle')) > max(g('washer', 'tub bearings'), g('washer', 'drum or spider'), g('washer', 'control board'), g('washer', 'motor board')) and min(g('dishwasher', 'latch'), g('dishwasher', 'foreign object removed')) > max(g('dishwasher', 'circulation pump'), g('dishwasher', 'control board')), 'published ranks of repair hold (doors, foreign objects above electronics, circulation pumps, bearings, drums)')
b = [r['fault_as_told'] for r in FA if r['decision'] in ('leave it', 'scrap only', 'licensed person') and float(r['fix']) != 0]; chk(not b, 'where the decision is leave it, scrap only or licensed person, the fix chance is 0', b)
# aliases
names = collections.Counter(); fam_said = {}; dup = []; few = []
suf = lambda c: (re.search(r'\((top-load|front-load|electric|gas|induction|ice machine)\)$', c) or [None, ''])[1]
for r in AL:
    if r['holds'] != 'yes': continue
    ok = {'type': r['canonical'] in types, 'plain word': r['canonical'] in plain, 'fault': r['canonical'] in mf.get(r['family'], []), 'finding': r['canonical'] in finds}[r['kind']]
    if not ok: chk(False, 'alias of an unknown name', r)
    names[r['kind'], r['family'] if r['kind'] == 'fault' else '', r['canonical']] += 1
    for fm in (r['family'].split(';') if r['kind'] == 'finding' else [r['family'] if r['kind'] == 'fault' else '']):
        key = ('type' if r['kind'] in ('type', 'plain word') else r['kind'], fm, r['only_for'], squash(r['said_as']))
        if fam_said.setdefault(key, r['canonical']) != r['canonical']: dup.append((key, fam_said[key], r['canonical']))
chk(not dup, 'no saying stands for two names in one family (kind by kind where the name says gas, electric, top-load ...)', dup[:12])
few = [(t, names['type' if t in types else 'plain word', '', t]) for t in types | plain if names['type' if t in types else 'plain word', '', t] < 8] + [(k, f, names['fault', k, f]) for k, v in mf.items() for f in v if names['fault', k, f] < 8]
chk(not few, 'at least 8 sayings for each type, plain word and fault (%d sayings; %d of findings; %d misleading)' % (sum(v for k, v in names.items() if k[0] != 'finding'), sum(v for k, v in names.items() if k[0] == 'finding'), sum(r['holds'] == 'no' for r in AL)), few)
chk(not [f for f in finds if names['finding', '', f] < 4], 'at least 4 sayings for each finding')
SG = R('signs.csv'); b = [(r['family'], r['fault_as_told']) for r in SG if r['fault_as_told'] not in mf.get(r['family'], [])]; chk(not b, 'signs.csv (%d rows) names canonical faults' % len(SG), b)
# cautions, door tests
tags = {c['tag'] for c in CA}
b = [(c['name'], x) for c in CA for col, ok in (('types', lambda x: x in types or x.startswith('all') or x.replace('family ', '') in kinds), ('faults', lambda x: x in allf), ('findings', lambda x: x in finds)) for x in tlist(c[col].replace('works; owner', 'works, owner')) if not ok(x)]
chk(not b, 'types, faults and findings of cautions.csv exist', b)
b = {x for r in FA + FI for x in tlist(r['danger_tag'])} | {x for r in DT for x in tlist(r['danger_tag'])}; chk(b <= tags, 'danger tags of faults, findings and tests have a caution', b - tags)
chk({f for f in mf['danger']} <= {x for c in CA for x in tlist(c['faults'])}, 'each danger fault has a caution', set(mf['danger']) - {x for c in CA for x in tlist(c['faults'])})
chk(all(len(c['line']) <= 90 for c in CA), 'screen lines at most 90 characters (longest %d)' % max(len(c['line']) for c in CA))
chk(all(c['effect'] in ('none', 'leave it', 'licensed person', 'scrap only', 'never as-is') for c in CA), 'effects are of the five kinds')
by = collections.defaultdict(float)
for r in DT: by[r['test']] += float(r['share_untold'])
chk(all(abs(v - 1) < 2e-4 for v in by.values()), 'answers of each of %d door tests sum to 1' % len(by))
w = 0
for t in by:
    l = [r for r in DT if r['test'] == t]
    if not l[0]['fix_then']: continue
    m = sum(float(r['share_untold']) * float(r['fix_then']) for r in l)
    r = unk(l[0]['figures_for'], U) if l[0]['told_before'] == U else next(told_row(k, l[0]['told_before'], l[0]['figures_for']) for k in kinds if (k, l[0]['told_before'], 'all') in row and k in next(x['fault_family'] for x in T if x['type'] == l[0]['figures_for']).split(';'))
    w = max(w, abs(m - float(r['fix'])) / float(r['fix']))
chk(w < .01, 'door tests: answers weighted by their shares = the figure before asking (largest relative gap %.4f)' % w)
b = [(r['test'], x) for r in DT for x in tlist(r['types']) if x not in types | {'all'}]; chk(not b, 'types of door tests exist', b)
b = [(r['test'], r['then_told_as']) for r in DT if r['then_told_as'] and r['then_told_as'] not in allf]; chk(not b, 'answers lead to canonical faults', b)
for nm, rows, col in (('seasons', SE, 'types'), ('delivery', DE, 'types'), ('comebacks', CB, 'types'), ('features', FT, 'types')):
    b = [x for r in rows for x in tlist(r[col]) if x not in types | kinds | {'all'} and not x.startswith('family ')]; chk(not b, 'types of %s.csv exist' % nm, b)
print('%d checks failed' % bad if bad else 'all checks hold'); sys.exit(bool(bad))
