-- A list says of each lot it takes from what is left in it and whether it is held back, and of what
-- its tasks made whether that is held, which it finds by where a lot is from. A new lot is on no list yet.
CREATE TRIGGER "stock_lots_mark_lists" AFTER UPDATE ON "stock_lots" FOR EACH ROW
  EXECUTE FUNCTION "mark_lists_of_site"('siteId');
CREATE TRIGGER "stock_lots_gone_mark_lists" AFTER DELETE ON "stock_lots" FOR EACH ROW
  EXECUTE FUNCTION "mark_lists_of_site"('siteId');
