-- Nothing is lost: the database itself refuses to change or to delete a revision.
create trigger revision_unchanged before update on revision
begin
  select raise(abort, 'a revision is never changed');
end;
create trigger revision_kept before delete on revision
begin
  select raise(abort, 'a revision is never deleted');
end;
