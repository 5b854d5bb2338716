"""Everyday headers for our columns: `column = strong names | weak names`, indented lines go on.
English, US and British, from memory.

Names stand as `headings.plain` leaves them. A weak name means its column only where no strong name
of the file does.
"""

from __future__ import annotations


def read(table: str) -> tuple[dict[str, str], dict[str, str]]:
    """(strong name -> column, weak name -> column) of one of the tables below.

    >>> read("sold = date sold, sold on | date")
    ({'sold': 'sold', 'date sold': 'sold', 'sold on': 'sold'}, {'date': 'sold'})
    """
    strong: dict[str, str] = {}
    weak: dict[str, str] = {}
    for entry in table.replace("\n    ", " ").strip().splitlines():
        column, _, names = entry.partition(" = ")
        sure, _, faint = names.partition(" | ")
        own = column.replace("_", " ")
        for name in (*(() if own in faint.split(", ") else (own,)), *sure.split(",")):
            strong.setdefault(name.strip(), column)
        for name in filter(None, faint.split(",")):
            weak.setdefault(name.strip(), column)
    return strong, weak


COLUMNS = """
unit = unit, ref, reference, ref no, ref number, id, unit id, unit no, unit number, item no,
    item number, item id, number, no, nr, nbr, sku, tag, tag no, tag
    number, stock no, stock number, lot, lot no, inventory no, inventory number, inventory id, inv
    no, record, record no, job, job no, appliance no, appliance
    id, code, unit code, my number, sl no, serial id | line, row, row no
type = type, appliance, appliance type, unit type, kind, category, machine, item type, product
    type, what, appliance kind, type of appliance, machine type,
    product category | item, product, equipment, article, device, goods, appliances, what is it
maker = maker, make, brand, manufacturer, mfr, brand name, mfg, mark, marque
tier = tier, grade of make, brand tier, class, line tier
age = age, age in years, age years, years old, yrs old, how old, unit age, appliance age, age
    yrs, age when got, approx age, age approx, est age, age in months,
    age months | years, yrs, months, months old
made = made, year made, year, model year, build year, built, manufactured, year of manufacture,
    mfg year, yr made, date made, yr, manufacture year, year built
features = features, feature, options, extras, equipment list, special features | description,
    details, spec, specs, specification, specifications, variant
fuel = fuel, fuel type, gas or electric, gas electric, power, energy, power source, gas elec
finish = finish, color, colour, color finish, colour finish
size = size, capacity, cu ft, cubic feet, size cu ft, volume, drum size, tub size
condition = condition, state, grade, cosmetic condition, cosmetics, cond, shape, quality,
    condition grade, appearance, condition when listed, looks
fault = fault, problem, symptom, complaint, issue, fault told, reported fault, what was wrong,
    whats wrong, what s wrong, wrong, defect, trouble, owner says,
    issue reported
found = found, cause, diagnosis, actual fault, real fault, fault found, root cause, what it was,
    turned out, diagnosed, actual problem
repair = repair, repair done, repairs, repairs done, work done, work, fix, fixed, what was done,
    service done, job done, done, repair made, work carried out,
    repair work, fix done, action taken, repaired
got_from = got from, source, from, bought from, acquired from, where got, where from, pickup
    from, supplier, where bought, got it from, seller, origin, came
    from
sold_where = sold where, where sold, channel, sold on site, sold via, platform, marketplace,
    sales channel, sold at, place sold, site sold, outlet, sold
    through, sold to, where i sold it | where
got = got, bought, date bought, date got, date acquired, acquired, acquired date, acquisition
    date, purchased, purchase date, date purchased, bought on, buy
    date, picked up, pickup date, pick up date, date in, in date, collected, date collected,
    received, date received, got on, date of purchase, bought date, day
    got, collection date, date picked up, intake date, got date, haul date, hauled
listed = listed, date listed, list date, listed on, listing date, posted, date posted,
    advertised, date advertised, put up, ad date, listed date, on sale since,
    day listed, for sale since, date of listing, put up for sale, posted on
sold = sold, date sold, sold on, sold date, sale date, date of sale, sell date, sales date, date
    out, out date, day sold, completed on, sale day, sold when,
    when sold, sold day | date, day, date of transaction, transaction date
paid = paid, bought for, purchase price, buy price, price paid, paid for it, purchase cost,
    amount paid, cost price, purchase, i paid, what i paid, buying
    price, bought at, paid price, purchased for, acquisition cost, cost of unit, unit cost, paid
    out, paid to owner, cost to buy | cost
parts = parts, parts cost, spare parts, cost of parts, spares, part cost, parts price,
    materials, material cost, parts bought, parts used cost, parts total,
    spares cost, part
haul_cost = haul cost, haul, hauling, truck, transport, transport cost, dump fee, dump fees, gas
    cost, fuel cost, mileage cost, hauling cost, pickup cost,
    travel cost, gas money, delivery in
fees = fees, fee, selling fees, selling fee, platform fee, commission, listing fee, sales fee,
    site fee, marketplace fee
refund = refund, refunded, refunds, money back, given back, refund amount
helper = helper, helper cost, paid helper, help, labor paid, helper pay, labour paid, help paid
cost_in = cost in, in it, total cost, money in, all in, i have in it, have in it, invested,
    total in, total invested, total spent, cost total, all in cost, into
    it, i m in it, outlay, total outlay
asked = asked, asking price, ask, asking, list price, listed price, listing price, price asked,
    listed at, asked for, listed for, advertised price, advertised
    at, asking amount, ask price, first ask, sticker price, sticker, posted price, price listed
price = sale price, sold for, sold price, selling price, sell price, final price, price sold,
    sale amount, amount received, got for it, sold at price, price
    received, sales price, sale, sold amount, proceeds, buyer paid, price achieved, selling amount,
    income, money received, sold price paid, final sale price,
    price got, sale value, realised, realized, got paid, achieved, received for it, revenue | price,
    amount, total, value
salvage = salvage, scrap, scrap money, parts sold, scrap value, salvage value, scrap price,
    parts money, sold as parts, from scrap
delivery = delivery, delivery charge, delivery fee, delivery charged, charged for delivery,
    delivered for
tax = tax, sales tax, tax collected, vat
hours = hours, labour, labor, time spent, time, labour h, labor h, hrs, hours worked, work
    hours, labor hours, labour hours, total hours, bench hours, my hours,
    hours spent, time h, work time, time hours, labour time, labor time, hours in, labor
    minutes, labour minutes, work minutes, minutes worked, time in minutes, minutes spent, h mm,
    time h mm, hours h mm | minutes, min, mins
drive_min = drive min, drive, driving, drive minutes, driving minutes, drive time, driving time,
    minutes driving, travel time
diagnose_min = diagnose min, diagnose minutes, diagnosis minutes, diagnosing, minutes
    diagnosing, diag min, diagnosis time
repair_min = repair min, repair minutes, repairing, minutes repairing, repair time, fix min, fix
    time
clean_min = clean min, cleaning, cleaning minutes, clean minutes, cleaning time, clean time
sell_min = sell min, selling minutes, sell minutes, selling time, sell time
miles = miles, distance, km, mileage, miles one way, one way miles, drive miles, kilometers,
    kilometres, miles driven one way
outcome = outcome, status, result, disposition, what happened, sold y n, outcome status, end
    result, sold yes no, is sold, sale status, current status, where is
    it now
offers = offers, offers received, offer, offer received, bids
comeback = comeback, comebacks, came back, warranty return, callback, callbacks, warranty calls
pair = pair, pair with, set with, sold with, paired with, matching unit, mate
trip = trip, trip no, trip id, haul no, run, route, trip number
from_unit = from unit, part from, donor, donor unit, part from unit
model = model, model number, model no, model num, model id, mod no
serial = serial, serial number, serial no, s n, sn, serial num
recall_checked = recall checked, recall check, recall checked on, recall date
warranty_days = warranty days, warranty, guarantee, warranty period, days warranty, promise days
owner = owner, partner, whose, owned by, who s unit, our owner
expense = expense, expenses, other expense, shop expense, overhead
note = note, notes, remark, remarks, comment, comments, memo, other notes, misc
"""

# The same in German, French, Spanish, Italian, Dutch, Polish and Portuguese, from memory.
ABROAD = """
unit = laufende nummer, lfd nr, gerätenummer, numéro, num, número, numero, nummer, volgnummer,
    numer, n, nº, n o, referenz, référence, referencia, riferimento, referentie, referência
type = gerät, geräteart, art, appareil, type d appareil, aparato, electrodoméstico, apparecchio,
    elettrodomestico, apparaat, toestel, urządzenie, sprzęt, aparelho, eletrodoméstico, typ, tipo
maker = hersteller, marke, marque, fabricant, marca, fabricante, produttore, merk, fabrikant,
    marka, producent
age = alter, alter in jahren, âge, edad, antigüedad, età, leeftijd, wiek, idade
condition = zustand, état, condición, condizione, condizioni, toestand, stan, stan techniczny |
    estado, stato, staat
fault = fehler, defekt, panne, défaut, avería, falla, guasto, difetto, defect, storing, usterka,
    avaria, defeito
repair = reparatur, arbeit, réparation, réparations, reparación, riparazione, reparatie, naprawa,
    reparação, conserto
features = ausstattung, merkmale, équipement, accessoires, extras, características, accessori,
    dotazione, opties, uitrusting, wyposażenie, acessórios
paid = einkaufspreis, einkauf, kaufpreis, bezahlt, gezahlt, prix d achat, payé, coût d achat,
    precio de compra, pagado, costo, prezzo di acquisto, prezzo d acquisto, pagato, inkoopprijs,
    aankoopprijs, betaald, cena zakupu, zapłacono, preço de compra, pago
parts = ersatzteile, teile, teilekosten, pièces, pièces détachées, coût des pièces, repuestos,
    piezas, recambios, ricambi, pezzi, onderdelen, części, koszt części, peças
hours = stunden, arbeitsstunden, arbeitszeit, heures, heures de travail, horas, horas de trabajo,
    ore, ore di lavoro, uren, werkuren, godziny, czas pracy, horas de trabalho
miles = meilen, millas, miglia, mijlen, mile, milhas, entfernung, distancia, distanza, afstand,
    odległość, distância, kilometer, kilómetros, chilometri, kilometry, quilómetros, quilômetros
got = gekauft am, gekauft, kaufdatum, einkaufsdatum, geholt am, abgeholt am, date d achat, acheté
    le, fecha de compra, comprado, comprado el, data di acquisto, data acquisto, acquistato il,
    gekocht op, aankoopdatum, inkoopdatum, data zakupu, kupiono, data de compra, data da compra,
    comprado em
listed = inseriert am, eingestellt am, online seit, date d annonce, mis en vente le, date de mise
    en vente, fecha de anuncio, publicado, publicado el, data annuncio, data inserzione, geplaatst
    op, te koop sinds, data ogłoszenia, data wystawienia, wystawiono, data do anúncio, anunciado em
asked = wunschpreis, preisvorstellung, angebotspreis, verhandlungsbasis, prix demandé, prix
    affiché, precio pedido, precio de lista, prezzo richiesto, vraagprijs, cena wywoławcza, cena
    ofertowa, preço pedido, preço anunciado
sold = verkauft am, verkaufsdatum, verkauft, date de vente, vendu le, fecha de venta, vendido el,
    data di vendita, data vendita, venduto il, verkocht op, verkoopdatum, data sprzedaży,
    sprzedano, data de venda, data da venda, vendido em
price = verkaufspreis, verkauft für, erlös, prix de vente, vendu pour, precio de venta, vendido
    por, prezzo di vendita, prezzo vendita, venduto a, verkoopprijs, verkocht voor, cena sprzedaży,
    preço de venda | preis, prix, precio, prezzo, prijs, cena, preço
outcome = ergebnis, verbleib, résultat, statut, resultado, esito, risultato, resultaat, wynik,
    situação
note = bemerkung, bemerkungen, notiz, notizen, anmerkung, anmerkungen, remarque, remarques,
    commentaire, commentaires, notas, observaciones, comentarios, note, osservazioni, opmerking,
    opmerkingen, uwagi, notatki, observações, comentários
"""

# What only a sheet of questions has (--from FILE.csv).
QUESTIONS = """
their_price = their price, wants, they want, owner wants, asking for it, they ask, their ask,
    want for it, wanted
fix_chance = fix chance, chance to fix, chance, odds
offered = offered, offer now, offered now, buyer offers
minutes = minutes, load minutes
at_curb = at curb, at the curb, curb
"""

# What a sheet works out by itself: named on the report, not used.
COMPUTED = """
profit, margin, net, net profit, gain, roi, days, days to sell, per hour, hourly, markup, profit
    per hour, net gain, total profit, earned, earnings,
days listed, balance, running total, profit loss, p l, hourly rate, return, return per hour
"""
