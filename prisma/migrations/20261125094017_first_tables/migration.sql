-- CreateTable
CREATE TABLE "users" (
    "id" TEXT NOT NULL,
    "email" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "role" TEXT NOT NULL,
    "passwordHash" TEXT NOT NULL,
    "archivedAt" TIMESTAMPTZ(3),
    "rev" INTEGER NOT NULL DEFAULT 1,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "users_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "user_sites" (
    "userId" TEXT NOT NULL,
    "siteId" TEXT NOT NULL,

    CONSTRAINT "user_sites_pkey" PRIMARY KEY ("userId","siteId")
);

-- CreateTable
CREATE TABLE "sessions" (
    "id" TEXT NOT NULL,
    "secretHash" TEXT NOT NULL,
    "userId" TEXT NOT NULL,
    "csrfToken" TEXT NOT NULL,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "lastSeenAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "expiresAt" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "sessions_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "api_tokens" (
    "id" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "secretHash" TEXT NOT NULL,
    "role" TEXT NOT NULL,
    "siteIds" TEXT[],
    "createdBy" TEXT NOT NULL,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "expiresAt" TIMESTAMPTZ(3),
    "revokedAt" TIMESTAMPTZ(3),
    "lastUsedAt" TIMESTAMPTZ(3),

    CONSTRAINT "api_tokens_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "audit_events" (
    "id" TEXT NOT NULL,
    "at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "actorKind" TEXT NOT NULL,
    "actorId" TEXT NOT NULL,
    "actorName" TEXT NOT NULL,
    "action" TEXT NOT NULL,
    "subjectKind" TEXT NOT NULL,
    "subjectId" TEXT NOT NULL,
    "siteId" TEXT,
    "requestId" TEXT,
    "detail" JSONB,

    CONSTRAINT "audit_events_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "idempotency_records" (
    "actorId" TEXT NOT NULL,
    "key" TEXT NOT NULL,
    "requestHash" TEXT NOT NULL,
    "status" INTEGER,
    "responseBody" JSONB,
    "location" TEXT,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "idempotency_records_pkey" PRIMARY KEY ("actorId","key")
);

-- CreateTable
CREATE TABLE "group_settings" (
    "key" TEXT NOT NULL,
    "value" JSONB NOT NULL,
    "updatedAt" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "group_settings_pkey" PRIMARY KEY ("key")
);

-- CreateTable
CREATE TABLE "exchange_rates" (
    "id" TEXT NOT NULL,
    "fromCurrency" CHAR(3) NOT NULL,
    "toCurrency" CHAR(3) NOT NULL,
    "rate" DECIMAL(18,8) NOT NULL,
    "validFrom" DATE NOT NULL,
    "enteredBy" TEXT NOT NULL,

    CONSTRAINT "exchange_rates_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "covers_snapshots" (
    "id" TEXT NOT NULL,
    "siteId" TEXT NOT NULL,
    "serviceId" TEXT NOT NULL,
    "serviceDate" DATE NOT NULL,
    "takenAt" TIMESTAMPTZ(3) NOT NULL,
    "booked" INTEGER NOT NULL,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "covers_snapshots_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "service_outcomes" (
    "id" TEXT NOT NULL,
    "siteId" TEXT NOT NULL,
    "serviceId" TEXT NOT NULL,
    "serviceDate" DATE NOT NULL,
    "covers" INTEGER NOT NULL,
    "closed" BOOLEAN NOT NULL DEFAULT false,
    "note" TEXT,
    "recordedAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "service_outcomes_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "dish_sales" (
    "id" TEXT NOT NULL,
    "siteId" TEXT NOT NULL,
    "serviceId" TEXT NOT NULL,
    "serviceDate" DATE NOT NULL,
    "dishId" TEXT NOT NULL,
    "portions" INTEGER NOT NULL,
    "soldOutAt" TIMESTAMPTZ(3),

    CONSTRAINT "dish_sales_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "covers_events" (
    "id" TEXT NOT NULL,
    "siteId" TEXT NOT NULL,
    "serviceId" TEXT NOT NULL,
    "serviceDate" DATE NOT NULL,
    "kind" TEXT NOT NULL,
    "factor" DOUBLE PRECISION,
    "covers" INTEGER,
    "reason" TEXT NOT NULL,
    "enteredBy" TEXT NOT NULL,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "removedAt" TIMESTAMPTZ(3),

    CONSTRAINT "covers_events_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "stated_covers" (
    "serviceId" TEXT NOT NULL,
    "weekday" INTEGER NOT NULL,
    "covers" DOUBLE PRECISION NOT NULL,

    CONSTRAINT "stated_covers_pkey" PRIMARY KEY ("serviceId","weekday")
);

-- CreateTable
CREATE TABLE "ingredients" (
    "id" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "baseUnit" TEXT NOT NULL,
    "densityGPerMl" DOUBLE PRECISION,
    "densitySource" TEXT,
    "pieceMassG" DOUBLE PRECISION,
    "trimYield" DOUBLE PRECISION NOT NULL DEFAULT 1,
    "trimYieldSource" TEXT,
    "seasonMonths" INTEGER[],
    "withdrawnFrom" DATE,
    "shelfLifeDays" INTEGER,
    "storage" TEXT NOT NULL DEFAULT 'ambient',
    "bloom" INTEGER,
    "sheetMassG" DOUBLE PRECISION,
    "allergens" JSONB,
    "nutrition" JSONB,
    "partOfId" TEXT,
    "partGroup" TEXT,
    "partYield" DOUBLE PRECISION,
    "note" TEXT,
    "archivedAt" TIMESTAMPTZ(3),
    "rev" INTEGER NOT NULL DEFAULT 1,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "ingredients_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "household_measures" (
    "id" TEXT NOT NULL,
    "ingredientId" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "massG" DOUBLE PRECISION NOT NULL,
    "source" TEXT,

    CONSTRAINT "household_measures_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "menus" (
    "id" TEXT NOT NULL,
    "siteId" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "activeFrom" DATE NOT NULL,
    "activeTo" DATE,
    "archivedAt" TIMESTAMPTZ(3),
    "rev" INTEGER NOT NULL DEFAULT 1,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "menus_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "menu_lines" (
    "id" TEXT NOT NULL,
    "menuId" TEXT NOT NULL,
    "dishId" TEXT NOT NULL,
    "serviceId" TEXT,
    "share" DOUBLE PRECISION NOT NULL,
    "priceAmount" DECIMAL(12,4) NOT NULL,
    "taxRate" DOUBLE PRECISION NOT NULL,
    "targetCost" DOUBLE PRECISION,

    CONSTRAINT "menu_lines_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "orders" (
    "id" TEXT NOT NULL,
    "number" INTEGER,
    "supplierId" TEXT NOT NULL,
    "siteId" TEXT NOT NULL,
    "deliveryDate" DATE NOT NULL,
    "cutoffAt" TIMESTAMPTZ(3) NOT NULL,
    "status" TEXT NOT NULL,
    "currency" CHAR(3) NOT NULL,
    "total" DECIMAL(14,4) NOT NULL,
    "planId" TEXT,
    "method" TEXT,
    "gap" DOUBLE PRECISION,
    "notes" TEXT[],
    "approvedBy" TEXT,
    "approvedAt" TIMESTAMPTZ(3),
    "sentAt" TIMESTAMPTZ(3),
    "rev" INTEGER NOT NULL DEFAULT 1,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "orders_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "order_lines" (
    "id" TEXT NOT NULL,
    "orderId" TEXT NOT NULL,
    "packId" TEXT NOT NULL,
    "ingredientId" TEXT NOT NULL,
    "proposedPacks" INTEGER NOT NULL,
    "packs" INTEGER NOT NULL,
    "changedByHand" BOOLEAN NOT NULL DEFAULT false,
    "unitPrice" DECIMAL(12,4) NOT NULL,
    "needQuantity" DOUBLE PRECISION NOT NULL,
    "certainQuantity" DOUBLE PRECISION NOT NULL,
    "surplusQuantity" DOUBLE PRECISION NOT NULL,
    "explanationNode" TEXT,
    "receivedPacks" INTEGER NOT NULL DEFAULT 0,
    "note" TEXT,

    CONSTRAINT "order_lines_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "deliveries" (
    "id" TEXT NOT NULL,
    "orderId" TEXT NOT NULL,
    "siteId" TEXT NOT NULL,
    "receivedAt" TIMESTAMPTZ(3) NOT NULL,
    "actorId" TEXT NOT NULL,
    "lines" JSONB NOT NULL,
    "note" TEXT,

    CONSTRAINT "deliveries_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "par_levels" (
    "id" TEXT NOT NULL,
    "siteId" TEXT NOT NULL,
    "recipeId" TEXT NOT NULL,
    "rule" TEXT NOT NULL,
    "quantity" DOUBLE PRECISION,
    "serviceLevel" DOUBLE PRECISION,
    "reviewDays" INTEGER NOT NULL DEFAULT 1,
    "reason" TEXT,
    "validFrom" DATE,
    "validTo" DATE,
    "enteredBy" TEXT NOT NULL,
    "rev" INTEGER NOT NULL DEFAULT 1,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "archivedAt" TIMESTAMPTZ(3),

    CONSTRAINT "par_levels_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "prep_plans" (
    "id" TEXT NOT NULL,
    "siteId" TEXT NOT NULL,
    "fromDate" DATE NOT NULL,
    "toDate" DATE NOT NULL,
    "status" TEXT NOT NULL,
    "inputsHash" TEXT NOT NULL,
    "workedOutAt" TIMESTAMPTZ(3) NOT NULL,
    "summary" JSONB NOT NULL,

    CONSTRAINT "prep_plans_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "prep_tasks" (
    "id" TEXT NOT NULL,
    "planId" TEXT NOT NULL,
    "siteId" TEXT NOT NULL,
    "recipeId" TEXT NOT NULL,
    "versionId" TEXT NOT NULL,
    "makeDate" DATE NOT NULL,
    "startBy" TIMESTAMPTZ(3) NOT NULL,
    "readyBy" TIMESTAMPTZ(3) NOT NULL,
    "batches" DOUBLE PRECISION NOT NULL,
    "quantity" DOUBLE PRECISION NOT NULL,
    "station" TEXT NOT NULL,
    "position" INTEGER NOT NULL,
    "status" TEXT NOT NULL,
    "neededFor" JSONB NOT NULL,
    "usesLots" JSONB NOT NULL,
    "cautions" TEXT[],
    "explanationNode" TEXT NOT NULL,
    "startedAt" TIMESTAMPTZ(3),
    "finishedAt" TIMESTAMPTZ(3),
    "madeQuantity" DOUBLE PRECISION,
    "doneBy" TEXT,
    "reason" TEXT,
    "rev" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "prep_tasks_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "explanations" (
    "id" TEXT NOT NULL,
    "subjectKind" TEXT NOT NULL,
    "subjectId" TEXT NOT NULL,
    "nodes" JSONB NOT NULL,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "explanations_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "recipes" (
    "id" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "baseUnit" TEXT NOT NULL,
    "station" TEXT NOT NULL,
    "archivedAt" TIMESTAMPTZ(3),
    "rev" INTEGER NOT NULL DEFAULT 1,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "recipes_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "recipe_versions" (
    "id" TEXT NOT NULL,
    "recipeId" TEXT NOT NULL,
    "number" INTEGER NOT NULL,
    "status" TEXT NOT NULL,
    "firstServiceDate" DATE,
    "outputValue" DOUBLE PRECISION NOT NULL,
    "outputUnit" TEXT NOT NULL,
    "outputQuantity" DOUBLE PRECISION NOT NULL,
    "batchMin" DOUBLE PRECISION NOT NULL,
    "batchMax" DOUBLE PRECISION,
    "batchMultiple" DOUBLE PRECISION NOT NULL,
    "shelfLifeMin" INTEGER NOT NULL,
    "storage" TEXT NOT NULL,
    "cautions" TEXT[],
    "note" TEXT,
    "createdBy" TEXT NOT NULL,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "publishedBy" TEXT,
    "publishedAt" TIMESTAMPTZ(3),
    "rev" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "recipe_versions_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "recipe_lines" (
    "id" TEXT NOT NULL,
    "versionId" TEXT NOT NULL,
    "position" INTEGER NOT NULL,
    "ingredientId" TEXT,
    "componentId" TEXT,
    "value" DOUBLE PRECISION NOT NULL,
    "unit" TEXT NOT NULL,
    "quantity" DOUBLE PRECISION NOT NULL,
    "trimYield" DOUBLE PRECISION,
    "cookingYield" DOUBLE PRECISION,
    "perBatch" BOOLEAN NOT NULL DEFAULT false,
    "scaleStep" DOUBLE PRECISION,
    "note" TEXT,

    CONSTRAINT "recipe_lines_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "recipe_steps" (
    "id" TEXT NOT NULL,
    "versionId" TEXT NOT NULL,
    "position" INTEGER NOT NULL,
    "text" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "workingMin" INTEGER NOT NULL,
    "waitingMin" INTEGER NOT NULL,
    "equipmentKind" TEXT,
    "equipmentAmount" DOUBLE PRECISION,
    "temperatureC" DOUBLE PRECISION,
    "holdMaxMin" INTEGER,
    "cooling" BOOLEAN NOT NULL DEFAULT false,

    CONSTRAINT "recipe_steps_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "recipe_by_products" (
    "id" TEXT NOT NULL,
    "versionId" TEXT NOT NULL,
    "componentId" TEXT NOT NULL,
    "value" DOUBLE PRECISION NOT NULL,
    "unit" TEXT NOT NULL,
    "quantity" DOUBLE PRECISION NOT NULL,
    "shelfLifeMin" INTEGER NOT NULL,
    "mayStartBatch" BOOLEAN NOT NULL DEFAULT false,

    CONSTRAINT "recipe_by_products_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "sites" (
    "id" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "zone" TEXT NOT NULL,
    "currency" CHAR(3) NOT NULL,
    "ruleSet" TEXT NOT NULL,
    "hours" JSONB NOT NULL,
    "archivedAt" TIMESTAMPTZ(3),
    "rev" INTEGER NOT NULL DEFAULT 1,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "sites_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "services" (
    "id" TEXT NOT NULL,
    "siteId" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "startsAt" TEXT NOT NULL,
    "endsAt" TEXT NOT NULL,
    "weekdays" INTEGER[],
    "seats" INTEGER NOT NULL,
    "activeFrom" DATE,
    "activeTo" DATE,
    "archivedAt" TIMESTAMPTZ(3),
    "rev" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "services_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "closed_days" (
    "id" TEXT NOT NULL,
    "siteId" TEXT NOT NULL,
    "date" DATE NOT NULL,
    "reason" TEXT NOT NULL,

    CONSTRAINT "closed_days_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "equipment" (
    "id" TEXT NOT NULL,
    "siteId" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "units" INTEGER NOT NULL,
    "holdsQuantity" DOUBLE PRECISION,
    "holdsUnit" TEXT,
    "archivedAt" TIMESTAMPTZ(3),
    "rev" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "equipment_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "stock_lots" (
    "id" TEXT NOT NULL,
    "siteId" TEXT NOT NULL,
    "itemKind" TEXT NOT NULL,
    "itemId" TEXT NOT NULL,
    "quantity" DOUBLE PRECISION NOT NULL,
    "madeAt" TIMESTAMPTZ(3) NOT NULL,
    "useBy" TIMESTAMPTZ(3) NOT NULL,
    "sourceKind" TEXT NOT NULL,
    "sourceId" TEXT,
    "supplierLot" TEXT,
    "heldReason" TEXT,
    "note" TEXT,
    "archivedAt" TIMESTAMPTZ(3),
    "rev" INTEGER NOT NULL DEFAULT 1,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "stock_lots_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "stock_movements" (
    "id" TEXT NOT NULL,
    "lotId" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "quantity" DOUBLE PRECISION NOT NULL,
    "at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "actorId" TEXT NOT NULL,
    "taskId" TEXT,
    "reason" TEXT,

    CONSTRAINT "stock_movements_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "stock_counts" (
    "id" TEXT NOT NULL,
    "siteId" TEXT NOT NULL,
    "itemKind" TEXT NOT NULL,
    "itemId" TEXT NOT NULL,
    "quantity" DOUBLE PRECISION NOT NULL,
    "drift" DOUBLE PRECISION NOT NULL,
    "countedAt" TIMESTAMPTZ(3) NOT NULL,
    "actorId" TEXT NOT NULL,

    CONSTRAINT "stock_counts_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "suppliers" (
    "id" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "zone" TEXT NOT NULL,
    "currency" CHAR(3) NOT NULL,
    "deliveryWeekdays" INTEGER[],
    "cutoffDaysBefore" INTEGER NOT NULL,
    "cutoffTime" TEXT NOT NULL,
    "leadDays" INTEGER NOT NULL DEFAULT 0,
    "minimumOrder" DECIMAL(12,4) NOT NULL,
    "deliveryCharge" DECIMAL(12,4) NOT NULL,
    "holidays" DATE[],
    "email" TEXT,
    "archivedAt" TIMESTAMPTZ(3),
    "rev" INTEGER NOT NULL DEFAULT 1,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "suppliers_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "supplier_sites" (
    "supplierId" TEXT NOT NULL,
    "siteId" TEXT NOT NULL,

    CONSTRAINT "supplier_sites_pkey" PRIMARY KEY ("supplierId","siteId")
);

-- CreateTable
CREATE TABLE "packs" (
    "id" TEXT NOT NULL,
    "supplierId" TEXT NOT NULL,
    "ingredientId" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "sku" TEXT NOT NULL,
    "gtin" TEXT,
    "value" DOUBLE PRECISION NOT NULL,
    "unit" TEXT NOT NULL,
    "quantity" DOUBLE PRECISION NOT NULL,
    "minPacks" INTEGER NOT NULL DEFAULT 1,
    "shelfLifeDays" INTEGER,
    "isDefault" BOOLEAN NOT NULL DEFAULT false,
    "outOfStock" BOOLEAN NOT NULL DEFAULT false,
    "archivedAt" TIMESTAMPTZ(3),
    "rev" INTEGER NOT NULL DEFAULT 1,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "packs_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "pack_prices" (
    "id" TEXT NOT NULL,
    "packId" TEXT NOT NULL,
    "validFrom" DATE NOT NULL,
    "minPacks" INTEGER NOT NULL DEFAULT 1,
    "amount" DECIMAL(12,4) NOT NULL,
    "source" TEXT NOT NULL,

    CONSTRAINT "pack_prices_pkey" PRIMARY KEY ("id")
);

-- CreateIndex
CREATE UNIQUE INDEX "users_email_key" ON "users"("email");

-- CreateIndex
CREATE UNIQUE INDEX "sessions_secretHash_key" ON "sessions"("secretHash");

-- CreateIndex
CREATE INDEX "sessions_userId_idx" ON "sessions"("userId");

-- CreateIndex
CREATE UNIQUE INDEX "api_tokens_secretHash_key" ON "api_tokens"("secretHash");

-- CreateIndex
CREATE INDEX "audit_events_subjectKind_subjectId_at_idx" ON "audit_events"("subjectKind", "subjectId", "at");

-- CreateIndex
CREATE INDEX "audit_events_at_idx" ON "audit_events"("at");

-- CreateIndex
CREATE UNIQUE INDEX "exchange_rates_fromCurrency_toCurrency_validFrom_key" ON "exchange_rates"("fromCurrency", "toCurrency", "validFrom");

-- CreateIndex
CREATE INDEX "covers_snapshots_siteId_serviceDate_idx" ON "covers_snapshots"("siteId", "serviceDate");

-- CreateIndex
CREATE UNIQUE INDEX "covers_snapshots_serviceId_serviceDate_takenAt_key" ON "covers_snapshots"("serviceId", "serviceDate", "takenAt");

-- CreateIndex
CREATE INDEX "service_outcomes_siteId_serviceDate_idx" ON "service_outcomes"("siteId", "serviceDate");

-- CreateIndex
CREATE UNIQUE INDEX "service_outcomes_serviceId_serviceDate_key" ON "service_outcomes"("serviceId", "serviceDate");

-- CreateIndex
CREATE INDEX "dish_sales_siteId_serviceDate_idx" ON "dish_sales"("siteId", "serviceDate");

-- CreateIndex
CREATE UNIQUE INDEX "dish_sales_serviceId_serviceDate_dishId_key" ON "dish_sales"("serviceId", "serviceDate", "dishId");

-- CreateIndex
CREATE INDEX "covers_events_siteId_serviceDate_idx" ON "covers_events"("siteId", "serviceDate");

-- CreateIndex
CREATE UNIQUE INDEX "ingredients_name_key" ON "ingredients"("name");

-- CreateIndex
CREATE UNIQUE INDEX "household_measures_ingredientId_name_key" ON "household_measures"("ingredientId", "name");

-- CreateIndex
CREATE UNIQUE INDEX "menus_siteId_name_key" ON "menus"("siteId", "name");

-- CreateIndex
CREATE INDEX "menu_lines_dishId_idx" ON "menu_lines"("dishId");

-- CreateIndex
CREATE UNIQUE INDEX "menu_lines_menuId_dishId_serviceId_key" ON "menu_lines"("menuId", "dishId", "serviceId");

-- CreateIndex
CREATE INDEX "orders_siteId_deliveryDate_idx" ON "orders"("siteId", "deliveryDate");

-- CreateIndex
CREATE UNIQUE INDEX "orders_supplierId_number_key" ON "orders"("supplierId", "number");

-- CreateIndex
CREATE UNIQUE INDEX "order_lines_orderId_packId_key" ON "order_lines"("orderId", "packId");

-- CreateIndex
CREATE INDEX "deliveries_orderId_idx" ON "deliveries"("orderId");

-- CreateIndex
CREATE INDEX "par_levels_siteId_recipeId_idx" ON "par_levels"("siteId", "recipeId");

-- CreateIndex
CREATE INDEX "prep_plans_siteId_status_idx" ON "prep_plans"("siteId", "status");

-- CreateIndex
CREATE INDEX "prep_tasks_siteId_makeDate_idx" ON "prep_tasks"("siteId", "makeDate");

-- CreateIndex
CREATE INDEX "prep_tasks_planId_idx" ON "prep_tasks"("planId");

-- CreateIndex
CREATE UNIQUE INDEX "explanations_subjectKind_subjectId_key" ON "explanations"("subjectKind", "subjectId");

-- CreateIndex
CREATE UNIQUE INDEX "recipes_name_key" ON "recipes"("name");

-- CreateIndex
CREATE INDEX "recipe_versions_status_firstServiceDate_idx" ON "recipe_versions"("status", "firstServiceDate");

-- CreateIndex
CREATE UNIQUE INDEX "recipe_versions_recipeId_number_key" ON "recipe_versions"("recipeId", "number");

-- CreateIndex
CREATE INDEX "recipe_lines_versionId_idx" ON "recipe_lines"("versionId");

-- CreateIndex
CREATE INDEX "recipe_lines_ingredientId_idx" ON "recipe_lines"("ingredientId");

-- CreateIndex
CREATE INDEX "recipe_lines_componentId_idx" ON "recipe_lines"("componentId");

-- CreateIndex
CREATE INDEX "recipe_steps_versionId_idx" ON "recipe_steps"("versionId");

-- CreateIndex
CREATE UNIQUE INDEX "recipe_by_products_versionId_componentId_key" ON "recipe_by_products"("versionId", "componentId");

-- CreateIndex
CREATE UNIQUE INDEX "sites_name_key" ON "sites"("name");

-- CreateIndex
CREATE UNIQUE INDEX "services_siteId_name_key" ON "services"("siteId", "name");

-- CreateIndex
CREATE UNIQUE INDEX "closed_days_siteId_date_key" ON "closed_days"("siteId", "date");

-- CreateIndex
CREATE UNIQUE INDEX "equipment_siteId_name_key" ON "equipment"("siteId", "name");

-- CreateIndex
CREATE INDEX "stock_lots_siteId_itemId_idx" ON "stock_lots"("siteId", "itemId");

-- CreateIndex
CREATE INDEX "stock_lots_sourceKind_sourceId_idx" ON "stock_lots"("sourceKind", "sourceId");

-- CreateIndex
CREATE INDEX "stock_movements_lotId_at_idx" ON "stock_movements"("lotId", "at");

-- CreateIndex
CREATE INDEX "stock_movements_taskId_idx" ON "stock_movements"("taskId");

-- CreateIndex
CREATE INDEX "stock_counts_siteId_itemId_countedAt_idx" ON "stock_counts"("siteId", "itemId", "countedAt");

-- CreateIndex
CREATE UNIQUE INDEX "suppliers_name_key" ON "suppliers"("name");

-- CreateIndex
CREATE INDEX "packs_ingredientId_idx" ON "packs"("ingredientId");

-- CreateIndex
CREATE UNIQUE INDEX "packs_supplierId_sku_key" ON "packs"("supplierId", "sku");

-- CreateIndex
CREATE UNIQUE INDEX "pack_prices_packId_validFrom_minPacks_key" ON "pack_prices"("packId", "validFrom", "minPacks");

-- AddForeignKey
ALTER TABLE "user_sites" ADD CONSTRAINT "user_sites_userId_fkey" FOREIGN KEY ("userId") REFERENCES "users"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "user_sites" ADD CONSTRAINT "user_sites_siteId_fkey" FOREIGN KEY ("siteId") REFERENCES "sites"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "sessions" ADD CONSTRAINT "sessions_userId_fkey" FOREIGN KEY ("userId") REFERENCES "users"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "ingredients" ADD CONSTRAINT "ingredients_partOfId_fkey" FOREIGN KEY ("partOfId") REFERENCES "ingredients"("id") ON DELETE SET NULL ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "household_measures" ADD CONSTRAINT "household_measures_ingredientId_fkey" FOREIGN KEY ("ingredientId") REFERENCES "ingredients"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "menus" ADD CONSTRAINT "menus_siteId_fkey" FOREIGN KEY ("siteId") REFERENCES "sites"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "menu_lines" ADD CONSTRAINT "menu_lines_menuId_fkey" FOREIGN KEY ("menuId") REFERENCES "menus"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "order_lines" ADD CONSTRAINT "order_lines_orderId_fkey" FOREIGN KEY ("orderId") REFERENCES "orders"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "prep_tasks" ADD CONSTRAINT "prep_tasks_planId_fkey" FOREIGN KEY ("planId") REFERENCES "prep_plans"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "recipe_versions" ADD CONSTRAINT "recipe_versions_recipeId_fkey" FOREIGN KEY ("recipeId") REFERENCES "recipes"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "recipe_lines" ADD CONSTRAINT "recipe_lines_versionId_fkey" FOREIGN KEY ("versionId") REFERENCES "recipe_versions"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "recipe_steps" ADD CONSTRAINT "recipe_steps_versionId_fkey" FOREIGN KEY ("versionId") REFERENCES "recipe_versions"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "recipe_by_products" ADD CONSTRAINT "recipe_by_products_versionId_fkey" FOREIGN KEY ("versionId") REFERENCES "recipe_versions"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "services" ADD CONSTRAINT "services_siteId_fkey" FOREIGN KEY ("siteId") REFERENCES "sites"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "closed_days" ADD CONSTRAINT "closed_days_siteId_fkey" FOREIGN KEY ("siteId") REFERENCES "sites"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "equipment" ADD CONSTRAINT "equipment_siteId_fkey" FOREIGN KEY ("siteId") REFERENCES "sites"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "stock_movements" ADD CONSTRAINT "stock_movements_lotId_fkey" FOREIGN KEY ("lotId") REFERENCES "stock_lots"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "supplier_sites" ADD CONSTRAINT "supplier_sites_supplierId_fkey" FOREIGN KEY ("supplierId") REFERENCES "suppliers"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "packs" ADD CONSTRAINT "packs_supplierId_fkey" FOREIGN KEY ("supplierId") REFERENCES "suppliers"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "packs" ADD CONSTRAINT "packs_ingredientId_fkey" FOREIGN KEY ("ingredientId") REFERENCES "ingredients"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "pack_prices" ADD CONSTRAINT "pack_prices_packId_fkey" FOREIGN KEY ("packId") REFERENCES "packs"("id") ON DELETE CASCADE ON UPDATE CASCADE;
