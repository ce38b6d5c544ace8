-- CreateTable
CREATE TABLE "night_runs" (
    "kind" TEXT NOT NULL,
    "key" TEXT NOT NULL,
    "date" DATE NOT NULL,
    "startedAt" TIMESTAMPTZ(3) NOT NULL,
    "endedAt" TIMESTAMPTZ(3),
    "outcome" TEXT,
    "attempts" INTEGER NOT NULL DEFAULT 1,
    "detail" TEXT,

    CONSTRAINT "night_runs_pkey" PRIMARY KEY ("kind","key","date")
);

-- CreateIndex
CREATE INDEX "night_runs_startedAt_idx" ON "night_runs"("startedAt");
