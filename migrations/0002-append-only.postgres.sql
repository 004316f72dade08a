-- Nothing is lost: the database itself refuses to change or to delete a revision.
create function revision_stands() returns trigger language plpgsql as $$
begin
  raise exception 'a revision is never changed or deleted';
end
$$;
create trigger revision_unchanged before update or delete on revision for each row execute function revision_stands();
create trigger revision_kept before truncate on revision for each statement execute function revision_stands();
