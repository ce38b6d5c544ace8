-- AlterTable
ALTER TABLE "ingredients" ADD COLUMN     "category" TEXT,
ADD COLUMN     "notBought" BOOLEAN NOT NULL DEFAULT false,
ADD COLUMN     "partOrder" INTEGER,
ADD COLUMN     "partYieldSource" TEXT,
ADD COLUMN     "pieceMassSource" TEXT,
ADD COLUMN     "withdrawnReason" TEXT;

-- AlterTable
ALTER TABLE "recipe_by_products" ADD COLUMN     "storage" TEXT NOT NULL DEFAULT 'chilled';

-- AlterTable
ALTER TABLE "recipe_versions" ADD COLUMN     "densityGPerMl" DOUBLE PRECISION,
ADD COLUMN     "pieceMassG" DOUBLE PRECISION,
ADD COLUMN     "submittedAt" TIMESTAMPTZ(3),
ADD COLUMN     "submittedBy" TEXT,
ADD COLUMN     "withdrawnBy" TEXT,
ADD COLUMN     "withdrawnFrom" DATE;
