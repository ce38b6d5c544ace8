-- AlterTable
ALTER TABLE "idempotency_records" ADD COLUMN     "landedAt" TIMESTAMPTZ(3);
