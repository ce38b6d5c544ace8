-- AlterTable
ALTER TABLE "prep_tasks" DROP COLUMN "explanationNode",
DROP COLUMN "position",
DROP COLUMN "usesLots",
ADD COLUMN     "batchesNode" TEXT NOT NULL,
ADD COLUMN     "changedAt" TIMESTAMPTZ(3),
ADD COLUMN     "explainedIn" TEXT NOT NULL,
ADD COLUMN     "makings" INTEGER NOT NULL DEFAULT 1,
ADD COLUMN     "neededQuantity" DOUBLE PRECISION NOT NULL,
ADD COLUMN     "previousQuantity" DOUBLE PRECISION,
ADD COLUMN     "quantityNode" TEXT NOT NULL,
ADD COLUMN     "useBy" TIMESTAMPTZ(3) NOT NULL;

-- CreateTable
CREATE TABLE "ingredient_needs" (
    "id" TEXT NOT NULL,
    "planId" TEXT NOT NULL,
    "siteId" TEXT NOT NULL,
    "ingredientId" TEXT NOT NULL,
    "needDate" DATE NOT NULL,
    "at" TIMESTAMPTZ(3) NOT NULL,
    "quantity" DOUBLE PRECISION NOT NULL,
    "certainQuantity" DOUBLE PRECISION NOT NULL,
    "node" TEXT NOT NULL,
    "drivenBy" TEXT,

    CONSTRAINT "ingredient_needs_pkey" PRIMARY KEY ("id")
);

-- CreateIndex
CREATE INDEX "ingredient_needs_planId_idx" ON "ingredient_needs"("planId");

-- CreateIndex
CREATE INDEX "ingredient_needs_siteId_ingredientId_idx" ON "ingredient_needs"("siteId", "ingredientId");

-- AddForeignKey
ALTER TABLE "ingredient_needs" ADD CONSTRAINT "ingredient_needs_planId_fkey" FOREIGN KEY ("planId") REFERENCES "prep_plans"("id") ON DELETE CASCADE ON UPDATE CASCADE;
