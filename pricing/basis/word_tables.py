"""Everyday words for our words, US and British, from memory: `ours = theirs, theirs, …`, one entry
a line, indented lines go on.

Keys stand as `words.squash` leaves them: lower-case, letters and digits, single blanks ("won t
drain").
"""

from __future__ import annotations


def read(table: str) -> dict[str, str]:
    """{their key: our word} of one of the tables below.

    >>> read("gas = natural gas, ng")
    {'natural gas': 'gas', 'ng': 'gas'}
    """
    keys: dict[str, str] = {}
    for entry in table.replace("\n    ", " ").strip().splitlines():
        ours, _, theirs = entry.partition(" = ")
        keys |= {key.strip(): ours for key in theirs.split(",")}
    return keys


CONDITIONS = """
rough = rough, poor, bad, very poor, scratched and dented, beat up, beater, worn, as is, d,
    dented, heavily used, well worn, ugly
fair = fair, ok, okay, average, acceptable, used, c, satisfactory, so so, decent, fair
    condition, normal wear, moderate
good = good, very good, nice, clean, b, good condition, great, vg, good used, fine, very nice
like new = like new, as new, mint, excellent, new, a, near new, likenew, almost new, nearly new,
    exc, excellent condition, perfect, immaculate, pristine, ln,
    open box, brand new
"""

OUTCOMES = """
sold = sold, yes, y, sale, gone, paid, complete, completed, done, sold local, sold as is, picked
    up, sold and paid, closed, traded, trade, delivered, finished
    sold
listed = listed, for sale, still listed, on sale, active, unsold, not sold, available, posted,
    advertised, online, relisted, live, up for sale, in stock, ready,
    n, still for sale, pending, on hold, reserved, open, ad up
in work = in work, in progress, wip, repairing, on bench, bench, working on, in repair, being
    repaired, fixing, in shop, in the shop, shop, to do, todo, not
    started, diagnosing, testing, cleaning, on the bench, started, in process, storage
waiting for part = waiting for part, waiting for parts, waiting on part, waiting on parts, part
    ordered, parts ordered, on order, awaiting parts, awaiting part,
    needs part, need part, backordered, ordered, wfp
parted = parted, parted out, parts, part out, stripped, for parts, harvested, parts out, parts
    only, used for parts, parting out, kept for parts, salvaged,
    donor, cannibalized, broken for parts
scrapped = scrapped, scrap, junk, junked, dump, dumped, scrapyard, trashed, recycled, scrap
    yard, scraped, to scrap, disposed, failed, fail, binned, tipped,
    dead, not fixable, unfixable, beyond repair, dud, written off
kept = kept, keep, keeping, own use, personal use, kept for self, using it, kept it, gave away,
    given away, donated, gift, gifted, family, free to family,
    keeper
returned = returned, return, refunded, came back, brought back, return refund, refund, buyer
    returned
trip = trip, empty trip, wasted trip, no show, dry run, drive for nothing, wasted drive
expense = expense, expenses, cost only, overhead, shop supplies, supplies, tools, business expense
"""

# The same in German, French, Spanish, Italian, Dutch, Polish and Portuguese, from memory.
OUTCOMES_ABROAD = """
sold = verkauft, vendu, vendue, vendido, vendida, venduto, venduta, verkocht, sprzedane, sprzedany,
    sprzedana
listed = inseriert, angeboten, zu verkaufen, eingestellt, nicht verkauft, en vente, à vendre,
    annoncé, invendu, en venta, anunciado, publicado, no vendido, in vendita, invenduto, te koop,
    geplaatst, niet verkocht, na sprzedaż, wystawione, niesprzedane, à venda, não vendido
in work = in arbeit, in reparatur, en cours, en réparation, en reparación, en proceso, in
    riparazione, in lavorazione, in reparatie, w naprawie, em reparo, em reparação, em conserto
parted = ausgeschlachtet, für teile, teilespender, pour pièces, pièces, démonté, para piezas,
    despiece, desguazado, per ricambi, smontato, voor onderdelen, na części,
    para peças, desmontado
scrapped = verschrottet, schrott, entsorgt, ferraille, mis à la casse, jeté, chatarra, desechado,
    tirado, rottamato, rottame, buttato, gesloopt, schroot, złom, złomowane, zezłomowane, sucata,
    sucateado
kept = behalten, verschenkt, eigenbedarf, gardé, donné, regalado, tenuto, regalato, gehouden,
    weggegeven, zatrzymane, oddane, guardado, doado
returned = zurückgegeben, zurück, rendu, retourné, devuelto, reso, restituito, teruggebracht,
    zwrócone, devolvido
"""

FEATURES = """
stainless = stainless, stainless steel, ss, s s, stainles, stainless finish
steam = steam, steam cycle, steam clean, steam function
ice and water = ice and water, ice water, ice water dispenser, ice and water dispenser, water
    and ice, water ice dispenser, ice water in door, dispenser
ice maker = ice maker, icemaker, ice machine
large capacity = large capacity, large tub, big tub, xl capacity, extra large capacity, king
    size capacity, super capacity, large drum, large cap
phone-connected = phone connected, wifi, wi fi, smart, app connected, smart wifi, connected,
    bluetooth
"""

FUELS = """
gas = gas, natural gas, ng, propane, lp, lpg, n g
electric = electric, elec, electricity, electrical, e, 240v, 220v, elect
"""

FINISHES = """
stainless = stainless, stainless steel, ss, s s, inox
white = white, wht, wh, w
black = black, blk, bk
black stainless = black stainless, black stainless steel
silver = silver, slv, gray, grey
"""

TIERS = """
plain = plain, basic, budget, low, entry, cheap, low end, economy
middle = middle, mid, medium, mid range, standard, average, regular
upper = upper, high, premium, high end, top, luxury, upscale
"""

FAULTS = """
won't drain = wont drain, not draining, doesn t drain, does not drain, no drain, won t empty,
    won t pump out, drain problem, full of water, doesnt drain, not
    pumping
won't spin or agitate (top-load) = won t spin or agitate, won t agitate, no agitation, doesn t
    agitate, no spin or agitate, won t spin or agitate top load, not
    agitating
bangs or walks = bangs, walks, shakes, out of balance, unbalanced, bangs and walks, jumps,
    shaking, vibrates
won't fill or fills slow = won t fill, no fill, fills slow, not filling, doesn t fill, no water
    in, slow fill
door/lid won't lock (error code) = door won t lock, lid won t lock, door lock error, lid lock,
    door lock, lid lock error, won t lock, door lid won t lock
takes too long = takes too long, slow to dry, long dry times, takes forever, takes two cycles,
    takes long, not drying well
won't start = wont start, no start, doesn t start, not starting, does not start, doesnt start
drum won't turn or squeals = drum won t turn, squeals, won t tumble, not spinning, not turning,
    doesn t turn, squeaks, noisy drum, won t turn, drum doesn t
    turn, no tumble, squealing
fridge warm but freezer cold = warm fridge cold freezer, fridge warm, fridge warm freezer cold,
    fresh food warm, fridge not cold freezer ok
both warm and compressor clicks or is silent = compressor clicks, clicks, clicking, not cooling
    clicks, warm and clicks, compressor silent
both warm and compressor runs = compressor runs not cooling, runs but not cold, runs but warm,
    warm but runs, compressor runs but warm
no ice or no water = no ice, no water, ice maker not working, no ice maker, icemaker dead, ice
    maker broken, no ice or water
leaks water inside = leaks water inside, water inside, water on shelf, water in bottom, leaks inside
burner dead (electric) = burner dead, dead burner, burner not working, one burner dead, burner
    out, element out
oven won't heat (electric) = oven won t heat, oven not heating, oven doesn t heat, oven no heat,
    bake not working, oven dead
burner clicks or won't light (gas) = burner won t light, burner clicks, keeps clicking, won t
    light, clicks won t light, no spark, igniter clicks
glass cooktop cracked = glass cracked, cracked glass, broken glass, cracked top, glass top
    cracked, cracked cooktop
not cleaning or won't fill = not cleaning, doesn t clean, dishes dirty, won t clean, not
    washing, poor wash
smells or mold = smells, mold, mould, smelly, moldy, stinks, smell
leaks = leak, leaking, leaks water, water leak, leaks from bottom
dead = dead, no power, totally dead, won t turn on, doesn t turn on, no lights, completely dead,
    nothing happens, wont turn on
no heat = no heat, won t heat, not heating, doesn t heat, no hot, not hot, cold air, runs no
    heat, runs but no heat, wont heat
roars in spin = roars, loud spin, loud in spin, bearings, bearing noise, bad bearings, loud when
    spinning, roars in spin
won't spin = won t spin, wont spin, no spin, doesn t spin, not spinning out
not known / "doesn't work" = doesn t work, does not work, not working, broken, broke, doesnt
    work, not known doesn t work, faulty, needs repair, no idea, bad,
    defective
works; owner upgraded = works, works fine, working, nothing wrong, upgraded, owner upgraded,
    none works, remodel, no fault, works owner upgraded, none, moving
"""
