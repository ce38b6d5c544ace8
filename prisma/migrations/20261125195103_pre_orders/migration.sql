-- AlterTable
ALTER TABLE "menu_lines" ADD COLUMN     "oneACover" BOOLEAN NOT NULL DEFAULT false;

-- CreateTable
CREATE TABLE "pre_orders" (
    "id" TEXT NOT NULL,
    "siteId" TEXT NOT NULL,
    "serviceId" TEXT NOT NULL,
    "serviceDate" DATE NOT NULL,
    "party" TEXT NOT NULL,
    "covers" INTEGER NOT NULL,
    "note" TEXT,
    "enteredBy" TEXT NOT NULL,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "removedAt" TIMESTAMPTZ(3),
    "rev" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "pre_orders_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "pre_order_lines" (
    "preOrderId" TEXT NOT NULL,
    "dishId" TEXT NOT NULL,
    "portions" INTEGER NOT NULL,

    CONSTRAINT "pre_order_lines_pkey" PRIMARY KEY ("preOrderId","dishId")
);

-- CreateIndex
CREATE INDEX "pre_orders_siteId_serviceDate_idx" ON "pre_orders"("siteId", "serviceDate");

-- CreateIndex
CREATE INDEX "pre_order_lines_dishId_idx" ON "pre_order_lines"("dishId");

-- AddForeignKey
ALTER TABLE "pre_order_lines" ADD CONSTRAINT "pre_order_lines_preOrderId_fkey" FOREIGN KEY ("preOrderId") REFERENCES "pre_orders"("id") ON DELETE CASCADE ON UPDATE CASCADE;
