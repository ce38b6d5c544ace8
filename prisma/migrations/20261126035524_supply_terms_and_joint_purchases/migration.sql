-- AlterTable
ALTER TABLE "ingredient_substitutes" ADD COLUMN     "enteredBy" TEXT NOT NULL DEFAULT '',
ADD COLUMN     "rev" INTEGER NOT NULL DEFAULT 1;

-- AlterTable
ALTER TABLE "order_lines" ADD COLUMN     "contractId" TEXT;

-- AlterTable
ALTER TABLE "supply_contracts" ADD COLUMN     "category" TEXT,
ADD COLUMN     "enteredBy" TEXT NOT NULL DEFAULT '',
ADD COLUMN     "rev" INTEGER NOT NULL DEFAULT 1;

-- CreateTable
CREATE TABLE "order_runs" (
    "siteId" TEXT NOT NULL,
    "planId" TEXT NOT NULL,
    "days" INTEGER NOT NULL,
    "workedOutAt" TIMESTAMPTZ(3) NOT NULL,
    "workedOutBy" TEXT NOT NULL,
    "shortfalls" JSONB NOT NULL,
    "additions" JSONB NOT NULL,
    "warnings" TEXT[],

    CONSTRAINT "order_runs_pkey" PRIMARY KEY ("siteId")
);

-- CreateTable
CREATE TABLE "joint_purchases" (
    "id" TEXT NOT NULL,
    "siteIds" TEXT[],
    "currency" CHAR(3) NOT NULL,
    "days" INTEGER NOT NULL,
    "status" TEXT NOT NULL,
    "choice" TEXT NOT NULL,
    "separateCost" DECIMAL(14,4) NOT NULL,
    "togetherCost" DECIMAL(14,4) NOT NULL,
    "saving" DECIMAL(14,4) NOT NULL,
    "inputs" JSONB NOT NULL,
    "plans" JSONB NOT NULL,
    "workedOutAt" TIMESTAMPTZ(3) NOT NULL,
    "workedOutBy" TEXT NOT NULL,
    "decidedAt" TIMESTAMPTZ(3),
    "decidedBy" TEXT,
    "reason" TEXT,
    "rev" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "joint_purchases_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "goods_carries" (
    "id" TEXT NOT NULL,
    "jointPurchaseId" TEXT NOT NULL,
    "fromSiteId" TEXT NOT NULL,
    "toSiteId" TEXT NOT NULL,
    "ingredientId" TEXT NOT NULL,
    "tripDate" DATE NOT NULL,
    "usableFrom" DATE NOT NULL,
    "useBy" DATE,
    "quantity" DOUBLE PRECISION NOT NULL,
    "uses" JSONB NOT NULL,
    "status" TEXT NOT NULL,
    "carried" JSONB,
    "reason" TEXT,
    "rev" INTEGER NOT NULL DEFAULT 1,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "goods_carries_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "supply_gaps" (
    "id" TEXT NOT NULL,
    "supplierId" TEXT NOT NULL,
    "packId" TEXT,
    "ingredientId" TEXT,
    "kind" TEXT NOT NULL,
    "fromDate" DATE NOT NULL,
    "toDate" DATE,
    "note" TEXT,
    "enteredBy" TEXT NOT NULL,
    "rev" INTEGER NOT NULL DEFAULT 1,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "supply_gaps_pkey" PRIMARY KEY ("id")
);

-- CreateIndex
CREATE INDEX "goods_carries_fromSiteId_status_idx" ON "goods_carries"("fromSiteId", "status");

-- CreateIndex
CREATE INDEX "goods_carries_toSiteId_status_idx" ON "goods_carries"("toSiteId", "status");

-- CreateIndex
CREATE INDEX "supply_gaps_supplierId_idx" ON "supply_gaps"("supplierId");

-- AddForeignKey
ALTER TABLE "supply_gaps" ADD CONSTRAINT "supply_gaps_supplierId_fkey" FOREIGN KEY ("supplierId") REFERENCES "suppliers"("id") ON DELETE CASCADE ON UPDATE CASCADE;
