-- AlterTable
ALTER TABLE "transfer_routes" ADD COLUMN     "arrivesAt" TEXT NOT NULL DEFAULT '11:00',
ADD COLUMN     "arrivesDaysLater" INTEGER NOT NULL DEFAULT 0,
ADD COLUMN     "containerLimit" INTEGER,
ADD COLUMN     "cutoffHours" INTEGER NOT NULL DEFAULT 24,
ADD COLUMN     "leavesAt" TEXT NOT NULL DEFAULT '09:00',
ADD COLUMN     "massLimitG" DOUBLE PRECISION,
ADD COLUMN     "minimumContainers" INTEGER NOT NULL DEFAULT 1,
ADD COLUMN     "noTripDates" DATE[] DEFAULT ARRAY[]::DATE[];

-- CreateTable
CREATE TABLE "central_productions" (
    "id" TEXT NOT NULL,
    "componentId" TEXT NOT NULL,
    "siteIds" TEXT[],
    "makerSiteIds" TEXT[],
    "mode" TEXT NOT NULL,
    "fromDate" DATE NOT NULL,
    "endsBefore" DATE,
    "containerName" TEXT NOT NULL,
    "containerValue" DOUBLE PRECISION NOT NULL,
    "containerUnit" TEXT NOT NULL,
    "containerQuantity" DOUBLE PRECISION NOT NULL,
    "keepsMin" INTEGER,
    "keepsAfter" TEXT,
    "restMadeHere" BOOLEAN NOT NULL DEFAULT true,
    "reason" TEXT NOT NULL,
    "decision" JSONB,
    "enteredBy" TEXT NOT NULL,
    "enteredAt" TIMESTAMPTZ(3) NOT NULL,
    "rev" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "central_productions_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "transfers" (
    "id" TEXT NOT NULL,
    "productionId" TEXT NOT NULL,
    "componentId" TEXT NOT NULL,
    "versionId" TEXT NOT NULL,
    "fromSiteId" TEXT NOT NULL,
    "toSiteId" TEXT NOT NULL,
    "leaveDate" DATE NOT NULL,
    "leavesAt" TIMESTAMPTZ(3) NOT NULL,
    "arrivesAt" TIMESTAMPTZ(3) NOT NULL,
    "containerName" TEXT NOT NULL,
    "containerQuantity" DOUBLE PRECISION NOT NULL,
    "quantity" DOUBLE PRECISION NOT NULL,
    "promised" DOUBLE PRECISION,
    "surplus" DOUBLE PRECISION NOT NULL DEFAULT 0,
    "serviceDate" DATE NOT NULL,
    "neededUntil" TIMESTAMPTZ(3) NOT NULL,
    "lotUntil" TIMESTAMPTZ(3) NOT NULL,
    "useBy" TIMESTAMPTZ(3) NOT NULL,
    "certainFraction" DOUBLE PRECISION NOT NULL DEFAULT 0,
    "serves" JSONB NOT NULL,
    "explainedIn" TEXT NOT NULL,
    "node" TEXT NOT NULL,
    "status" TEXT NOT NULL,
    "sent" JSONB,
    "received" JSONB,
    "reason" TEXT,
    "rev" INTEGER NOT NULL DEFAULT 1,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "transfers_pkey" PRIMARY KEY ("id")
);

-- CreateIndex
CREATE INDEX "central_productions_componentId_idx" ON "central_productions"("componentId");

-- CreateIndex
CREATE INDEX "transfers_fromSiteId_status_leavesAt_idx" ON "transfers"("fromSiteId", "status", "leavesAt");

-- CreateIndex
CREATE INDEX "transfers_toSiteId_status_arrivesAt_idx" ON "transfers"("toSiteId", "status", "arrivesAt");
