-- AlterTable
ALTER TABLE "idempotency_records" ADD COLUMN     "made" JSONB;
