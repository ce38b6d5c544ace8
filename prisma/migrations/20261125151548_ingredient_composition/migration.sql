-- AlterTable
ALTER TABLE "ingredients" ADD COLUMN     "composition" JSONB;
