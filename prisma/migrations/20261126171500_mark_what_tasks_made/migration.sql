-- A list also says of what its tasks made whether it is held back, and finds that by where a lot is from.
DROP TRIGGER "stock_lots_mark_lists" ON "stock_lots";
CREATE TRIGGER "stock_lots_mark_lists" AFTER UPDATE ON "stock_lots" FOR EACH ROW
  EXECUTE FUNCTION "mark_lists_of_site"('siteId');
