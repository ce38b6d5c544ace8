-- AlterTable
ALTER TABLE "suppliers" ADD COLUMN     "language" TEXT NOT NULL DEFAULT 'en';
