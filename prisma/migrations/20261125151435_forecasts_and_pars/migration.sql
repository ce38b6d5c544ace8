-- AlterTable
ALTER TABLE "par_levels" ADD COLUMN     "leadDays" INTEGER NOT NULL DEFAULT 0;

-- CreateTable
CREATE TABLE "forecast_series" (
    "serviceId" TEXT NOT NULL,
    "siteId" TEXT NOT NULL,
    "modelVersion" TEXT NOT NULL,
    "state" JSONB NOT NULL,
    "historyFrom" DATE NOT NULL,
    "learnedTo" DATE,
    "historyHash" TEXT NOT NULL,
    "servicesLearned" INTEGER NOT NULL,
    "groupProfile" JSONB,
    "learnedAt" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "forecast_series_pkey" PRIMARY KEY ("serviceId")
);

-- CreateTable
CREATE TABLE "forecast_groups" (
    "name" TEXT NOT NULL,
    "modelVersion" TEXT NOT NULL,
    "profile" JSONB NOT NULL,
    "seriesCount" INTEGER NOT NULL,
    "learnedAt" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "forecast_groups_pkey" PRIMARY KEY ("name")
);

-- CreateTable
CREATE TABLE "covers_forecasts" (
    "id" TEXT NOT NULL,
    "siteId" TEXT NOT NULL,
    "serviceId" TEXT NOT NULL,
    "serviceDate" DATE NOT NULL,
    "madeAt" TIMESTAMPTZ(3) NOT NULL,
    "horizonDays" INTEGER NOT NULL,
    "modelVersion" TEXT NOT NULL,
    "method" TEXT NOT NULL,
    "mean" DOUBLE PRECISION NOT NULL,
    "result" JSONB NOT NULL,
    "snapshotId" TEXT,
    "eventIds" TEXT[],
    "historyFrom" DATE NOT NULL,
    "learnedTo" DATE,
    "servicesLearned" INTEGER NOT NULL,
    "overrideId" TEXT,
    "overrideResult" JSONB,
    "warnings" TEXT[],
    "inputsHash" TEXT NOT NULL,

    CONSTRAINT "covers_forecasts_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "portions_forecasts" (
    "id" TEXT NOT NULL,
    "forecastId" TEXT NOT NULL,
    "dishId" TEXT NOT NULL,
    "madeAt" TIMESTAMPTZ(3) NOT NULL,
    "menuLineId" TEXT NOT NULL,
    "statedShare" DOUBLE PRECISION NOT NULL,
    "share" DOUBLE PRECISION NOT NULL,
    "strength" DOUBLE PRECISION NOT NULL,
    "dayVariation" DOUBLE PRECISION NOT NULL,
    "servicesSeen" INTEGER NOT NULL,
    "mean" DOUBLE PRECISION NOT NULL,
    "quantiles" JSONB NOT NULL,
    "inputsHash" TEXT NOT NULL,

    CONSTRAINT "portions_forecasts_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "covers_overrides" (
    "id" TEXT NOT NULL,
    "siteId" TEXT NOT NULL,
    "serviceId" TEXT NOT NULL,
    "serviceDate" DATE NOT NULL,
    "covers" INTEGER NOT NULL,
    "reason" TEXT NOT NULL,
    "forecastMean" DOUBLE PRECISION,
    "enteredBy" TEXT NOT NULL,
    "enteredAt" TIMESTAMPTZ(3) NOT NULL,
    "removedAt" TIMESTAMPTZ(3),
    "removedBy" TEXT,

    CONSTRAINT "covers_overrides_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "backtests" (
    "id" TEXT NOT NULL,
    "siteId" TEXT NOT NULL,
    "serviceId" TEXT NOT NULL,
    "ranAt" TIMESTAMPTZ(3) NOT NULL,
    "ranBy" TEXT NOT NULL,
    "modelVersion" TEXT NOT NULL,
    "settings" JSONB NOT NULL,
    "result" JSONB NOT NULL,

    CONSTRAINT "backtests_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "par_overrides" (
    "id" TEXT NOT NULL,
    "parId" TEXT NOT NULL,
    "siteId" TEXT NOT NULL,
    "serviceDate" DATE NOT NULL,
    "quantity" DOUBLE PRECISION NOT NULL,
    "reason" TEXT NOT NULL,
    "parQuantity" DOUBLE PRECISION,
    "enteredBy" TEXT NOT NULL,
    "enteredAt" TIMESTAMPTZ(3) NOT NULL,
    "removedAt" TIMESTAMPTZ(3),
    "removedBy" TEXT,

    CONSTRAINT "par_overrides_pkey" PRIMARY KEY ("id")
);

-- CreateIndex
CREATE INDEX "forecast_series_siteId_idx" ON "forecast_series"("siteId");

-- CreateIndex
CREATE INDEX "covers_forecasts_serviceId_serviceDate_madeAt_idx" ON "covers_forecasts"("serviceId", "serviceDate", "madeAt");

-- CreateIndex
CREATE INDEX "covers_forecasts_siteId_serviceDate_idx" ON "covers_forecasts"("siteId", "serviceDate");

-- CreateIndex
CREATE UNIQUE INDEX "portions_forecasts_forecastId_dishId_inputsHash_key" ON "portions_forecasts"("forecastId", "dishId", "inputsHash");

-- CreateIndex
CREATE INDEX "covers_overrides_serviceId_serviceDate_idx" ON "covers_overrides"("serviceId", "serviceDate");

-- CreateIndex
CREATE INDEX "covers_overrides_siteId_serviceDate_idx" ON "covers_overrides"("siteId", "serviceDate");

-- CreateIndex
CREATE INDEX "backtests_siteId_serviceId_ranAt_idx" ON "backtests"("siteId", "serviceId", "ranAt");

-- CreateIndex
CREATE INDEX "par_overrides_parId_serviceDate_idx" ON "par_overrides"("parId", "serviceDate");

-- CreateIndex
CREATE INDEX "par_overrides_siteId_serviceDate_idx" ON "par_overrides"("siteId", "serviceDate");

-- AddForeignKey
ALTER TABLE "portions_forecasts" ADD CONSTRAINT "portions_forecasts_forecastId_fkey" FOREIGN KEY ("forecastId") REFERENCES "covers_forecasts"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "par_overrides" ADD CONSTRAINT "par_overrides_parId_fkey" FOREIGN KEY ("parId") REFERENCES "par_levels"("id") ON DELETE CASCADE ON UPDATE CASCADE;
