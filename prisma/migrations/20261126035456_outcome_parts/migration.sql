-- AlterTable
ALTER TABLE "covers_snapshots" ADD COLUMN     "cancelled" INTEGER;

-- AlterTable
ALTER TABLE "service_outcomes" ADD COLUMN     "cancelled" INTEGER,
ADD COLUMN     "noShows" INTEGER,
ADD COLUMN     "walkIns" INTEGER;
