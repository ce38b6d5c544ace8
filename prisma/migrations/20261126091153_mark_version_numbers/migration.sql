-- A list also shows the numbers of its tasks' versions. They never change today; whoever lets them change
-- must not show a list with the old ones.
CREATE TRIGGER "recipe_versions_mark_names" AFTER UPDATE ON "recipe_versions" FOR EACH ROW
  WHEN (OLD."number" IS DISTINCT FROM NEW."number")
  EXECUTE FUNCTION "mark_names"();
CREATE TRIGGER "recipe_versions_gone_mark_names" AFTER DELETE ON "recipe_versions"
  FOR EACH STATEMENT EXECUTE FUNCTION "mark_names"();
