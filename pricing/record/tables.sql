-- The tables of a record. {cells}: our columns; {shown}: the same, money in whole units;
-- {counts}: whether a row counts. The text is part of the form: `verify` compares it.
-- mark: the same act in two copies of a record; of: the act that an undo takes back; facts: JSON
create table source (id integer primary key, kind text not null, day text not null,
    mark text not null unique, of integer references source, n_rows integer not null,
    facts text not null, sum integer not null) strict;
-- given: what the row said under its file's columns; same: all that the unit is; kept: of a unit
-- without a number of its own what it keeps, and how far it got; gone: the unit was dropped
create table state (id integer primary key, source integer not null references source,
    line integer not null, unit text not null, gone integer not null, {cells}, said text,
    extra text,
    given integer not null, same integer not null, kept integer, sum integer not null) strict;
-- rows of a file that said what the record knew already: where the act that wrote it is taken
-- back, it still stands
create table again (state integer not null references state,
    source integer not null references source, primary key (state, source))
    strict, without rowid;
-- rows that were set aside, with their cells as written
create table remark (id integer primary key, source integer not null references source,
    line integer not null, why text not null, cells text not null, sum integer not null) strict;
-- what the person said about files with one header
create table shape (shape text primary key, said text not null, sum integer not null) strict;
create index of_act on source (of) where of is not null;
create index by_unit on state (unit, source, id);
create index alike on state (same) where kept is not null;
create index grown on state (kept) where kept is not null;
-- the acts that an undo takes back; an undo that is itself taken back takes nothing back
create view undone as select distinct of as id from source t where of is not null
    and not exists (select 1 from source u where u.of = t.id);
create view counting as select id from source where id not in (select id from undone);
create view units as select unit, {shown}, extra from state where gone = 0 and id in (
    select max(id) from state s where {counts} group by unit);
