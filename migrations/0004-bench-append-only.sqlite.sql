-- Nothing is lost: the database itself refuses to change or to delete an entry.
create trigger entry_unchanged before update on entry
begin
  select raise(abort, 'an entry is never changed');
end;
create trigger entry_kept before delete on entry
begin
  select raise(abort, 'an entry is never deleted');
end;
