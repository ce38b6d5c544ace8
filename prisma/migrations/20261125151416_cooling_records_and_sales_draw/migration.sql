-- AlterTable
ALTER TABLE "prep_tasks" ADD COLUMN     "tickedAt" TIMESTAMPTZ(3);

-- AlterTable
ALTER TABLE "stock_lots" ADD COLUMN     "useByReasons" JSONB;

-- AlterTable
ALTER TABLE "stock_movements" ADD COLUMN     "saleId" TEXT;

-- CreateTable
CREATE TABLE "temperature_readings" (
    "id" TEXT NOT NULL,
    "siteId" TEXT NOT NULL,
    "taskId" TEXT,
    "lotId" TEXT,
    "kind" TEXT NOT NULL,
    "round" INTEGER NOT NULL DEFAULT 1,
    "celsius" DOUBLE PRECISION NOT NULL,
    "value" DOUBLE PRECISION NOT NULL,
    "unit" TEXT NOT NULL,
    "at" TIMESTAMPTZ(3) NOT NULL,
    "offHeatAt" TIMESTAMPTZ(3),
    "enteredAt" TIMESTAMPTZ(3) NOT NULL,
    "actorId" TEXT NOT NULL,
    "actorName" TEXT NOT NULL,
    "note" TEXT,
    "struckAt" TIMESTAMPTZ(3),
    "struckBy" TEXT,
    "struckReason" TEXT,

    CONSTRAINT "temperature_readings_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "safety_breaches" (
    "id" TEXT NOT NULL,
    "siteId" TEXT NOT NULL,
    "taskId" TEXT,
    "lotId" TEXT,
    "kind" TEXT NOT NULL,
    "round" INTEGER NOT NULL DEFAULT 1,
    "ruleSet" TEXT NOT NULL,
    "message" TEXT NOT NULL,
    "judgement" JSONB NOT NULL,
    "foundAt" TIMESTAMPTZ(3) NOT NULL,
    "foundBy" TEXT NOT NULL,
    "correction" TEXT,
    "correctionNote" TEXT,
    "correctedAt" TIMESTAMPTZ(3),
    "correctedBy" TEXT,
    "decision" TEXT,
    "decisionReason" TEXT,
    "decidedAt" TIMESTAMPTZ(3),
    "decidedBy" TEXT,
    "rev" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "safety_breaches_pkey" PRIMARY KEY ("id")
);

-- CreateIndex
CREATE INDEX "temperature_readings_taskId_at_idx" ON "temperature_readings"("taskId", "at");

-- CreateIndex
CREATE INDEX "temperature_readings_lotId_at_idx" ON "temperature_readings"("lotId", "at");

-- CreateIndex
CREATE INDEX "safety_breaches_siteId_decision_idx" ON "safety_breaches"("siteId", "decision");

-- CreateIndex
CREATE INDEX "safety_breaches_taskId_idx" ON "safety_breaches"("taskId");

-- CreateIndex
CREATE INDEX "safety_breaches_lotId_idx" ON "safety_breaches"("lotId");

-- CreateIndex
CREATE INDEX "stock_movements_saleId_idx" ON "stock_movements"("saleId");
