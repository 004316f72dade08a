-- Kits, perches and nets. Every save is a row and no row is ever changed; the newest of a key is the one that none follows.
create table revision (
  kind text not null check (kind in ('kit', 'perch', 'net')),
  key text not null check (key <> ''),
  number integer not null,
  -- The revision that this one was made from. With the foreign key below: 1, 2, 3 … without a gap, so that two saves made
  -- from the same revision cannot both stand.
  previous integer,
  -- Name and place as they stand in the content, for lists and maps.
  name text not null,
  latitude_deg double precision,
  longitude_deg double precision,
  elevation_m double precision,
  -- The earlier revision whose content this one brings back (undo).
  restores integer,
  note text not null,
  -- UTC, ISO 8601.
  saved_at text not null,
  -- The file as its maker wrote it, comments and all; null: removed.
  content text,
  -- SHA-256 of all of this: neither database notices when a byte within a text goes bad on the disk.
  digest text not null,
  primary key (kind, key, number),
  foreign key (kind, key, previous) references revision (kind, key, number),
  foreign key (kind, key, restores) references revision (kind, key, number),
  check ((number = 1 and previous is null) or (number > 1 and previous is not null and previous = number - 1)),
  check (restores is null or (restores >= 1 and restores < number))
);
