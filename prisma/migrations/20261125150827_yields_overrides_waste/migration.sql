-- AlterTable
ALTER TABLE "recipe_lines" ADD COLUMN     "siteMay" TEXT[] DEFAULT ARRAY[]::TEXT[],
ADD COLUMN     "yields" JSONB;

-- AlterTable
ALTER TABLE "recipe_steps" ADD COLUMN     "siteMay" TEXT[] DEFAULT ARRAY[]::TEXT[],
ADD COLUMN     "yields" JSONB;

-- CreateTable
CREATE TABLE "measured_yields" (
    "id" TEXT NOT NULL,
    "siteId" TEXT NOT NULL,
    "recipeId" TEXT NOT NULL,
    "versionId" TEXT NOT NULL,
    "target" TEXT NOT NULL,
    "targetKey" TEXT NOT NULL,
    "label" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "before" DOUBLE PRECISION NOT NULL,
    "after" DOUBLE PRECISION NOT NULL,
    "unit" TEXT NOT NULL,
    "measuredOn" DATE NOT NULL,
    "measuredBy" TEXT NOT NULL,
    "recordedBy" TEXT NOT NULL,
    "recordedAt" TIMESTAMPTZ(3) NOT NULL,
    "note" TEXT,
    "status" TEXT NOT NULL DEFAULT 'recorded',
    "decidedBy" TEXT,
    "decidedAt" TIMESTAMPTZ(3),
    "reason" TEXT,
    "acceptedIn" TEXT,
    "rev" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "measured_yields_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "draft_revisions" (
    "versionId" TEXT NOT NULL,
    "rev" INTEGER NOT NULL,
    "content" JSONB NOT NULL,
    "savedBy" TEXT NOT NULL,
    "savedAt" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "draft_revisions_pkey" PRIMARY KEY ("versionId","rev")
);

-- CreateTable
CREATE TABLE "site_overrides" (
    "id" TEXT NOT NULL,
    "siteId" TEXT NOT NULL,
    "recipeId" TEXT NOT NULL,
    "what" TEXT NOT NULL,
    "targetKey" TEXT NOT NULL,
    "label" TEXT NOT NULL,
    "ingredientId" TEXT,
    "trimYield" DOUBLE PRECISION,
    "cookingYield" DOUBLE PRECISION,
    "temperatureC" DOUBLE PRECISION,
    "workingMin" INTEGER,
    "waitingMin" INTEGER,
    "fromDate" DATE NOT NULL,
    "endsBefore" DATE,
    "reason" TEXT NOT NULL,
    "status" TEXT NOT NULL,
    "allergens" TEXT[],
    "enteredBy" TEXT NOT NULL,
    "enteredAt" TIMESTAMPTZ(3) NOT NULL,
    "confirmedBy" TEXT,
    "confirmedAt" TIMESTAMPTZ(3),
    "endedBy" TEXT,
    "endReason" TEXT,
    "rev" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "site_overrides_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "waste_expectations" (
    "id" TEXT NOT NULL,
    "siteId" TEXT NOT NULL,
    "itemId" TEXT NOT NULL DEFAULT '',
    "fraction" DOUBLE PRECISION NOT NULL,
    "source" TEXT NOT NULL,
    "validFrom" DATE NOT NULL,
    "enteredBy" TEXT NOT NULL,
    "enteredAt" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "waste_expectations_pkey" PRIMARY KEY ("id")
);

-- CreateIndex
CREATE INDEX "measured_yields_recipeId_targetKey_idx" ON "measured_yields"("recipeId", "targetKey");

-- CreateIndex
CREATE INDEX "measured_yields_siteId_id_idx" ON "measured_yields"("siteId", "id");

-- CreateIndex
CREATE INDEX "site_overrides_siteId_recipeId_idx" ON "site_overrides"("siteId", "recipeId");

-- CreateIndex
CREATE INDEX "site_overrides_recipeId_idx" ON "site_overrides"("recipeId");

-- CreateIndex
CREATE INDEX "waste_expectations_siteId_validFrom_idx" ON "waste_expectations"("siteId", "validFrom");

-- CreateIndex
CREATE UNIQUE INDEX "waste_expectations_siteId_itemId_validFrom_key" ON "waste_expectations"("siteId", "itemId", "validFrom");

-- AddForeignKey
ALTER TABLE "draft_revisions" ADD CONSTRAINT "draft_revisions_versionId_fkey" FOREIGN KEY ("versionId") REFERENCES "recipe_versions"("id") ON DELETE CASCADE ON UPDATE CASCADE;
