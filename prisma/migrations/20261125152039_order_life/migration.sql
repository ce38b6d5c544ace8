-- AlterTable
ALTER TABLE "deliveries" ADD COLUMN     "actorName" TEXT NOT NULL DEFAULT '',
ADD COLUMN     "date" DATE,
ADD COLUMN     "final" BOOLEAN NOT NULL DEFAULT true,
ADD COLUMN     "findings" JSONB NOT NULL DEFAULT '[]';

-- Deliveries that were taken in before this came on the day of their site's own clock.
UPDATE "deliveries" SET "date" = ("receivedAt" AT TIME ZONE COALESCE(
    (SELECT "zone" FROM "sites" WHERE "sites"."id" = "deliveries"."siteId"), 'UTC'))::date;
ALTER TABLE "deliveries" ALTER COLUMN "date" SET NOT NULL;

-- AlterTable
ALTER TABLE "order_lines" ADD COLUMN     "changeReason" TEXT,
ADD COLUMN     "changedAt" TIMESTAMPTZ(3),
ADD COLUMN     "changedBy" TEXT,
ADD COLUMN     "confirmedPacks" INTEGER,
ADD COLUMN     "packQuantity" DOUBLE PRECISION NOT NULL DEFAULT 0,
ADD COLUMN     "packsForMinimum" INTEGER NOT NULL DEFAULT 0,
ADD COLUMN     "refusedPacks" INTEGER NOT NULL DEFAULT 0,
ADD COLUMN     "surplusFate" TEXT,
ADD COLUMN     "uses" JSONB,
ADD COLUMN     "wasteQuantity" DOUBLE PRECISION NOT NULL DEFAULT 0;

-- AlterTable
ALTER TABLE "orders" ADD COLUMN     "choice" JSONB,
ADD COLUMN     "deliveryCharge" DECIMAL(12,4) NOT NULL DEFAULT 0,
ADD COLUMN     "history" JSONB NOT NULL DEFAULT '[]',
ADD COLUMN     "lastRefresh" JSONB,
ADD COLUMN     "supplierRef" TEXT;

-- AlterTable
ALTER TABLE "packs" ADD COLUMN     "backOn" DATE,
ADD COLUMN     "maxPacks" INTEGER;

-- AlterTable
ALTER TABLE "sites" ADD COLUMN     "addressLines" TEXT[] DEFAULT ARRAY[]::TEXT[],
ADD COLUMN     "gln" TEXT;

-- AlterTable
ALTER TABLE "suppliers" ADD COLUMN     "accountNumber" TEXT,
ADD COLUMN     "addressLines" TEXT[] DEFAULT ARRAY[]::TEXT[],
ADD COLUMN     "arrivesBy" TEXT,
ADD COLUMN     "freeDeliveryFrom" DECIMAL(12,4),
ADD COLUMN     "gln" TEXT,
ADD COLUMN     "minimumPacks" INTEGER NOT NULL DEFAULT 0,
ADD COLUMN     "phone" TEXT,
ADD COLUMN     "priceColumns" JSONB,
ADD COLUMN     "usableAfterDays" INTEGER NOT NULL DEFAULT 0,
ADD COLUMN     "workingWeekdays" INTEGER[] DEFAULT ARRAY[]::INTEGER[];

-- CreateTable
CREATE TABLE "ingredient_substitutes" (
    "id" TEXT NOT NULL,
    "ingredientId" TEXT NOT NULL,
    "substituteId" TEXT NOT NULL,
    "ratio" DOUBLE PRECISION NOT NULL DEFAULT 1,
    "note" TEXT,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "ingredient_substitutes_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "order_invoices" (
    "id" TEXT NOT NULL,
    "orderId" TEXT NOT NULL,
    "number" TEXT NOT NULL,
    "date" DATE NOT NULL,
    "currency" CHAR(3) NOT NULL,
    "lines" JSONB NOT NULL,
    "deliveryCharge" DECIMAL(12,4) NOT NULL,
    "findings" JSONB NOT NULL,
    "creditDue" DECIMAL(14,4) NOT NULL,
    "enteredAt" TIMESTAMPTZ(3) NOT NULL,
    "actorName" TEXT NOT NULL,

    CONSTRAINT "order_invoices_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "approval_limits" (
    "id" TEXT NOT NULL,
    "subject" TEXT NOT NULL,
    "currency" CHAR(3) NOT NULL,
    "amount" DECIMAL(14,2) NOT NULL,
    "rev" INTEGER NOT NULL DEFAULT 1,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "approval_limits_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "transfer_routes" (
    "id" TEXT NOT NULL,
    "fromSiteId" TEXT NOT NULL,
    "toSiteId" TEXT NOT NULL,
    "weekdays" INTEGER[],
    "costPerTrip" DECIMAL(12,4) NOT NULL,
    "currency" CHAR(3) NOT NULL,
    "handlingDays" INTEGER NOT NULL DEFAULT 0,
    "archivedAt" TIMESTAMPTZ(3),
    "rev" INTEGER NOT NULL DEFAULT 1,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "transfer_routes_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "supply_contracts" (
    "id" TEXT NOT NULL,
    "siteId" TEXT NOT NULL,
    "ingredientId" TEXT,
    "supplierId" TEXT NOT NULL,
    "fromDate" DATE NOT NULL,
    "toDate" DATE,
    "note" TEXT,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "supply_contracts_pkey" PRIMARY KEY ("id")
);

-- CreateIndex
CREATE UNIQUE INDEX "ingredient_substitutes_ingredientId_substituteId_key" ON "ingredient_substitutes"("ingredientId", "substituteId");

-- CreateIndex
CREATE UNIQUE INDEX "order_invoices_orderId_number_key" ON "order_invoices"("orderId", "number");

-- CreateIndex
CREATE UNIQUE INDEX "approval_limits_subject_currency_key" ON "approval_limits"("subject", "currency");

-- CreateIndex
CREATE UNIQUE INDEX "transfer_routes_fromSiteId_toSiteId_key" ON "transfer_routes"("fromSiteId", "toSiteId");

-- CreateIndex
CREATE INDEX "supply_contracts_siteId_idx" ON "supply_contracts"("siteId");

-- AddForeignKey
ALTER TABLE "deliveries" ADD CONSTRAINT "deliveries_orderId_fkey" FOREIGN KEY ("orderId") REFERENCES "orders"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "order_invoices" ADD CONSTRAINT "order_invoices_orderId_fkey" FOREIGN KEY ("orderId") REFERENCES "orders"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "supply_contracts" ADD CONSTRAINT "supply_contracts_supplierId_fkey" FOREIGN KEY ("supplierId") REFERENCES "suppliers"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- One open order for a supplier, site and delivery (a later migration makes it the rule). Proposals
-- beside an order that is with the supplier already were additions; they are worked out again for
-- the next delivery.
UPDATE "orders" SET "status" = 'cancelled' WHERE "status" = 'proposed' AND EXISTS (
    SELECT 1 FROM "orders" "other"
    WHERE "other"."id" <> "orders"."id"
      AND "other"."supplierId" = "orders"."supplierId"
      AND "other"."siteId" = "orders"."siteId"
      AND "other"."deliveryDate" = "orders"."deliveryDate"
      AND ("other"."status" IN ('approved', 'sent') OR ("other"."status" = 'proposed' AND "other"."id" < "orders"."id"))
);

-- Lines ordered before this hold what their pack holds now.
UPDATE "order_lines" SET "packQuantity" = "packs"."quantity" FROM "packs" WHERE "packs"."id" = "order_lines"."packId";
