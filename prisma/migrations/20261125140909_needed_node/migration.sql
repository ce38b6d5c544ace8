-- AlterTable
ALTER TABLE "prep_tasks" ADD COLUMN     "neededNode" TEXT NOT NULL DEFAULT '';
