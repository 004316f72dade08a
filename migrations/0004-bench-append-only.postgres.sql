-- Nothing is lost: the database itself refuses to change or to delete an entry.
create function entry_stands() returns trigger language plpgsql as $$
begin
  raise exception 'an entry is never changed or deleted';
end
$$;
create trigger entry_unchanged before update or delete on entry for each row execute function entry_stands();
create trigger entry_kept before truncate on entry for each statement execute function entry_stands();
