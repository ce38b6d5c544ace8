-- AlterTable
ALTER TABLE "orders" ADD COLUMN     "besideOrderId" TEXT;

-- An earlier version let several orders be approved and sent for one delivery. The supplier has them,
-- so they stay as they are, beside the first, and say so.
UPDATE "orders" SET
    "besideOrderId" = "beside"."firstId",
    "notes" = array_append("notes", 'Stands beside order ' || "beside"."firstNumber" ||
      ' for the same delivery: both were made when several orders for a delivery were still allowed.')
FROM (
    SELECT "id",
        first_value("id") OVER "delivery" AS "firstId",
        first_value(COALESCE("number"::text, "id")) OVER "delivery" AS "firstNumber"
    FROM "orders"
    WHERE "status" IN ('proposed', 'approved', 'sent', 'confirmed', 'part-delivered')
    WINDOW "delivery" AS (
        PARTITION BY "supplierId", "siteId", "deliveryDate"
        ORDER BY ("status" IN ('proposed', 'approved')), "number" NULLS LAST, "id"
    )
) AS "beside"
WHERE "beside"."id" = "orders"."id" AND "beside"."firstId" <> "orders"."id";

DROP INDEX IF EXISTS "orders_one_open_a_delivery";
CREATE UNIQUE INDEX "orders_one_open_a_delivery" ON "orders" ("supplierId", "siteId", "deliveryDate")
    WHERE "status" IN ('proposed', 'approved', 'sent', 'confirmed', 'part-delivered')
      AND "besideOrderId" IS NULL;
