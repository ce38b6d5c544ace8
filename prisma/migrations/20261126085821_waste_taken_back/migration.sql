-- AlterTable
ALTER TABLE "stock_movements" ADD COLUMN     "undoesId" TEXT;

-- CreateIndex
CREATE UNIQUE INDEX "stock_movements_undoesId_key" ON "stock_movements"("undoesId");

-- AddForeignKey
ALTER TABLE "stock_movements" ADD CONSTRAINT "stock_movements_undoesId_fkey" FOREIGN KEY ("undoesId") REFERENCES "stock_movements"("id") ON DELETE CASCADE ON UPDATE CASCADE;
