-- Files that prove something, such as a test report: their bytes, each once under its digest. Entries name them.
create table kept_file (
  -- SHA-256 of the bytes, hexadecimal.
  sha256 text not null primary key check (length(sha256) = 64),
  size integer not null check (size between 1 and 10000000),
  content blob not null check (length(content) = size)
);
-- Nothing is lost: the database itself refuses to change or to delete a file.
create trigger kept_file_unchanged before update on kept_file
begin
  select raise(abort, 'a kept file is never changed');
end;
create trigger kept_file_kept before delete on kept_file
begin
  select raise(abort, 'a kept file is never deleted');
end;
