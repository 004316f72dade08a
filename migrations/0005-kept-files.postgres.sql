-- Files that prove something, such as a test report: their bytes, each once under its digest. Entries name them.
create table kept_file (
  -- SHA-256 of the bytes, hexadecimal.
  sha256 text not null primary key check (length(sha256) = 64),
  size integer not null check (size between 1 and 10000000),
  content bytea not null check (length(content) = size)
);
-- Nothing is lost: the database itself refuses to change or to delete a file.
create function kept_file_stands() returns trigger language plpgsql as $$
begin
  raise exception 'a kept file is never changed or deleted';
end
$$;
create trigger kept_file_unchanged before update or delete on kept_file for each row execute function kept_file_stands();
create trigger kept_file_kept before truncate on kept_file for each statement execute function kept_file_stands();
