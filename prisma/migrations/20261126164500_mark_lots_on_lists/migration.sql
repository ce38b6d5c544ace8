-- A list says of each lot it takes from what is left in it and whether it is held back. A new lot is
-- on no list yet.
CREATE TRIGGER "stock_lots_mark_lists" AFTER UPDATE ON "stock_lots" FOR EACH ROW
  WHEN (OLD."quantity" IS DISTINCT FROM NEW."quantity"
    OR OLD."heldReason" IS DISTINCT FROM NEW."heldReason"
    OR OLD."archivedAt" IS DISTINCT FROM NEW."archivedAt")
  EXECUTE FUNCTION "mark_lists_of_site"('siteId');
CREATE TRIGGER "stock_lots_gone_mark_lists" AFTER DELETE ON "stock_lots" FOR EACH ROW
  EXECUTE FUNCTION "mark_lists_of_site"('siteId');
