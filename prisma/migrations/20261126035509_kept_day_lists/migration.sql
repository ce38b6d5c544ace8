-- CreateTable
CREATE TABLE "list_marks" (
    "subject" TEXT NOT NULL,
    "mark" UUID NOT NULL,

    CONSTRAINT "list_marks_pkey" PRIMARY KEY ("subject")
);

-- CreateTable
CREATE TABLE "kept_day_lists" (
    "siteId" TEXT NOT NULL,
    "date" TEXT NOT NULL,
    "form" TEXT NOT NULL,
    "siteMark" UUID NOT NULL,
    "namesMark" UUID NOT NULL,
    "body" TEXT NOT NULL,

    CONSTRAINT "kept_day_lists_pkey" PRIMARY KEY ("siteId","date")
);

-- Read on every look at a list: rather larger on the disk than unpacked each time.
ALTER TABLE "kept_day_lists" ALTER COLUMN "body" SET STORAGE EXTERNAL;

INSERT INTO "list_marks" ("subject", "mark") SELECT "id", gen_random_uuid() FROM "sites";
INSERT INTO "list_marks" ("subject", "mark") VALUES ('names', gen_random_uuid());

-- A list is read from its site's plan, tasks and zone, and from the names and units of items. Whoever
-- changes one of these changes the mark in the same transaction, whichever version of the service it is.
CREATE FUNCTION "mark_list"("of" TEXT) RETURNS void LANGUAGE sql AS $$
  INSERT INTO "list_marks" ("subject", "mark") VALUES ("of", gen_random_uuid())
  ON CONFLICT ("subject") DO UPDATE SET "mark" = EXCLUDED."mark";
$$;
CREATE FUNCTION "mark_lists_of_site"() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  IF TG_OP <> 'INSERT' THEN
    PERFORM "mark_list"(to_jsonb(OLD)->>TG_ARGV[0]);
  END IF;
  IF TG_OP <> 'DELETE' THEN
    PERFORM "mark_list"(to_jsonb(NEW)->>TG_ARGV[0]);
  END IF;
  RETURN NULL;
END;
$$;
CREATE FUNCTION "mark_names"() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  PERFORM "mark_list"('names');
  RETURN NULL;
END;
$$;
CREATE TRIGGER "prep_plans_mark_lists" AFTER INSERT OR UPDATE OR DELETE ON "prep_plans"
  FOR EACH ROW EXECUTE FUNCTION "mark_lists_of_site"('siteId');
CREATE TRIGGER "prep_tasks_mark_lists" AFTER INSERT OR UPDATE OR DELETE ON "prep_tasks"
  FOR EACH ROW EXECUTE FUNCTION "mark_lists_of_site"('siteId');
CREATE TRIGGER "sites_mark_lists" AFTER INSERT OR UPDATE OR DELETE ON "sites"
  FOR EACH ROW EXECUTE FUNCTION "mark_lists_of_site"('id');
-- A new item is on no list yet, so only renaming and taking away count.
CREATE TRIGGER "recipes_mark_names" AFTER UPDATE ON "recipes" FOR EACH ROW
  WHEN (OLD."name" IS DISTINCT FROM NEW."name" OR OLD."baseUnit" IS DISTINCT FROM NEW."baseUnit")
  EXECUTE FUNCTION "mark_names"();
CREATE TRIGGER "recipes_gone_mark_names" AFTER DELETE ON "recipes"
  FOR EACH STATEMENT EXECUTE FUNCTION "mark_names"();
CREATE TRIGGER "ingredients_mark_names" AFTER UPDATE ON "ingredients" FOR EACH ROW
  WHEN (OLD."name" IS DISTINCT FROM NEW."name" OR OLD."baseUnit" IS DISTINCT FROM NEW."baseUnit")
  EXECUTE FUNCTION "mark_names"();
CREATE TRIGGER "ingredients_gone_mark_names" AFTER DELETE ON "ingredients"
  FOR EACH STATEMENT EXECUTE FUNCTION "mark_names"();
