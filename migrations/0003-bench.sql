-- The bench: parts, lots, plans, batches, orders, units. What happened is a row and no row is ever changed.
create table entry (
  -- 1, 2, 3 … over the whole bench: of two that are made from the same state only one can take the next number.
  seq integer not null primary key,
  previous integer references entry (seq),
  -- part:KEY, lot:KEY, plan:KEY, batch:KEY, order:KEY or unit:SERIAL; its entries are numbered 1, 2, 3 …
  stream text not null check (stream <> ''),
  number integer not null check (number >= 1),
  kind text not null,
  -- UTC, ISO 8601.
  at text not null,
  -- Who did it.
  signed text not null check (signed <> ''),
  -- Given by the sender, so that what is sent twice is kept once.
  token text unique,
  -- Number in the same stream of the entry that this one takes the place of.
  corrects integer,
  -- What it says, JSON.
  content text not null,
  -- SHA-256 of all of this.
  digest text not null,
  unique (stream, number),
  foreign key (stream, corrects) references entry (stream, number),
  check ((seq = 1 and previous is null) or (seq > 1 and previous is not null and previous = seq - 1)),
  check (corrects is null or (corrects >= 1 and corrects < number))
);
