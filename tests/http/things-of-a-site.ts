import type { TestApp } from '../helpers/test-app.ts';

/** One of each thing that belongs to a site, by the name of its id in a path. */
export async function makeThingsOf(
  test: TestApp,
  siteId: string,
): Promise<Readonly<Record<string, string>>> {
  const { prisma } = test.database;
  const { sites } = test.services;
  const service = await sites.createService(siteId, {
    name: 'Dinner',
    startsAt: '19:00',
    endsAt: '22:00',
    weekdays: [1, 2, 3, 4, 5, 6, 7],
    seats: 40,
    activeFrom: null,
    activeTo: null,
  });
  const equipment = await sites.addEquipment(siteId, {
    kind: 'oven deck',
    name: 'Deck',
    units: 2,
    holdsQuantity: null,
    holdsUnit: null,
  });
  const day = new Date('2026-03-10T00:00:00Z');
  await prisma.menu.create({ data: { id: 'menu_x', siteId, name: 'Spring', activeFrom: day } });
  await prisma.coversEvent.create({
    data: {
      id: 'evt_x',
      siteId,
      serviceId: service.id,
      serviceDate: day,
      kind: 'closed',
      reason: 'works',
      enteredBy: 'Lena',
    },
  });
  await prisma.preOrder.create({
    data: {
      id: 'pre_x',
      siteId,
      serviceId: service.id,
      serviceDate: day,
      party: 'Moretti',
      covers: 2,
      enteredBy: 'Lena',
    },
  });
  await prisma.stockLot.create({
    data: {
      id: 'lot_x',
      siteId,
      itemKind: 'component',
      itemId: 'rcp_x',
      quantity: 100,
      madeAt: day,
      useBy: new Date('2026-03-14T00:00:00Z'),
      sourceKind: 'found',
    },
  });
  await prisma.temperatureReading.create({
    data: {
      id: 'temp_x',
      siteId,
      lotId: 'lot_x',
      kind: 'cold',
      celsius: 12,
      value: 12,
      unit: 'Cel',
      at: day,
      enteredAt: day,
      actorId: 'usr_x',
      actorName: 'Lena',
    },
  });
  await prisma.safetyBreach.create({
    data: {
      id: 'brc_x',
      siteId,
      lotId: 'lot_x',
      kind: 'cold',
      ruleSet: 'eu',
      message: 'Too warm.',
      judgement: {},
      foundAt: day,
      foundBy: 'Lena',
    },
  });
  await prisma.prepPlan.create({
    data: {
      id: 'plan_x',
      siteId,
      fromDate: day,
      toDate: day,
      status: 'current',
      inputsHash: 'x',
      workedOutAt: day,
      summary: {},
      tasks: {
        create: {
          id: 'task_x',
          siteId,
          recipeId: 'rcp_x',
          versionId: 'ver_x',
          makeDate: day,
          startBy: day,
          readyBy: day,
          useBy: day,
          batches: 1,
          quantity: 100,
          neededQuantity: 100,
          station: 'oven',
          status: 'to_do',
          neededFor: [],
          explainedIn: 'plan_x',
          batchesNode: 'a',
          quantityNode: 'b',
        },
      },
    },
  });
  await prisma.supplier.create({
    data: {
      id: 'sup_x',
      name: 'Their dairy',
      zone: 'Europe/Rome',
      currency: 'EUR',
      deliveryWeekdays: [1],
      cutoffDaysBefore: 1,
      cutoffTime: '12:00',
      minimumOrder: '0',
      deliveryCharge: '0',
      holidays: [],
    },
  });
  await prisma.order.create({
    data: {
      id: 'ord_x',
      supplierId: 'sup_x',
      siteId,
      deliveryDate: new Date('2026-03-16T00:00:00Z'),
      cutoffAt: new Date('2026-03-15T11:00:00Z'),
      status: 'proposed',
      currency: 'EUR',
      total: '0',
      notes: [],
      lines: {
        create: {
          id: 'ol_x',
          packId: 'pack_x',
          ingredientId: 'ing_x',
          proposedPacks: 1,
          packs: 1,
          unitPrice: '1',
          needQuantity: 1,
          certainQuantity: 0,
          surplusQuantity: 0,
        },
      },
    },
  });
  await prisma.coversForecast.create({
    data: {
      id: 'fc_x',
      siteId,
      serviceId: service.id,
      serviceDate: day,
      madeAt: day,
      horizonDays: 0,
      modelVersion: 'x',
      method: 'level',
      mean: 40,
      result: {},
      historyFrom: day,
      servicesLearned: 0,
      inputsHash: 'x',
    },
  });
  await prisma.backtest.create({
    data: {
      id: 'bt_x',
      siteId,
      serviceId: service.id,
      ranAt: day,
      ranBy: 'Lena',
      modelVersion: 'x',
      settings: { horizons: [1], from: '2026-03-01', to: '2026-03-09', everyDays: 1 },
      result: { horizons: [], points: [], notForecast: 0, scale: null },
    },
  });
  await prisma.parLevel.create({
    data: { id: 'par_x', siteId, recipeId: 'rcp_x', rule: 'margin_against_waste', enteredBy: 'x' },
  });
  await prisma.measuredYield.create({
    data: {
      id: 'myd_x',
      siteId,
      recipeId: 'rcp_x',
      versionId: 'ver_x',
      target: 'batch',
      targetKey: 'batch:100',
      label: 'The batch',
      kind: 'batch',
      before: 100,
      after: 90,
      unit: 'g',
      measuredOn: day,
      measuredBy: 'Lena',
      recordedBy: 'usr_x',
      recordedAt: day,
    },
  });
  await prisma.siteOverride.create({
    data: {
      id: 'sov_x',
      siteId,
      recipeId: 'rcp_x',
      what: 'temperature',
      targetKey: 'step:x:1',
      label: 'Step 1',
      temperatureC: 165,
      fromDate: day,
      reason: 'hot',
      status: 'standing',
      allergens: [],
      enteredBy: 'usr_x',
      enteredAt: day,
    },
  });
  await prisma.supplyContract.create({
    data: { id: 'con_x', siteId, supplierId: 'sup_x', fromDate: day, enteredBy: 'Lena' },
  });
  const between = { fromSiteId: siteId, toSiteId: 'site_third' };
  await prisma.transferRoute.create({
    data: { id: 'way_x', ...between, weekdays: [1], costPerTrip: '5', currency: 'EUR' },
  });
  await prisma.centralProduction.create({
    data: {
      id: 'cpr_x',
      componentId: 'rcp_x',
      siteIds: ['site_third'],
      makerSiteIds: [siteId],
      mode: 'fixed',
      fromDate: day,
      containerName: 'Box',
      containerValue: 1000,
      containerUnit: 'g',
      containerQuantity: 1000,
      reason: 'one oven',
      enteredBy: 'usr_x',
      enteredAt: day,
    },
  });
  await prisma.transfer.create({
    data: {
      id: 'trf_x',
      productionId: 'cpr_x',
      componentId: 'rcp_x',
      versionId: 'ver_x',
      ...between,
      leaveDate: day,
      leavesAt: day,
      arrivesAt: day,
      containerName: 'Box',
      containerQuantity: 1000,
      quantity: 1000,
      serviceDate: day,
      neededUntil: day,
      lotUntil: day,
      useBy: day,
      serves: [],
      explainedIn: 'plan_x',
      node: 'n',
      status: 'planned',
    },
  });
  await prisma.jointPurchase.create({
    data: {
      id: 'jpu_x',
      siteIds: [siteId, 'site_third'],
      currency: 'EUR',
      days: 7,
      status: 'proposed',
      choice: 'together',
      separateCost: '10',
      togetherCost: '9',
      saving: '1',
      inputs: [],
      plans: { separate: [], together: [], carries: [] },
      workedOutAt: day,
      workedOutBy: 'Lena',
    },
  });
  await prisma.goodsCarry.create({
    data: {
      id: 'gca_x',
      jointPurchaseId: 'jpu_x',
      ...between,
      ingredientId: 'ing_x',
      tripDate: day,
      usableFrom: day,
      quantity: 1,
      uses: [],
      status: 'planned',
    },
  });
  return {
    jointPurchaseId: 'jpu_x',
    carryId: 'gca_x',
    routeId: 'way_x',
    productionId: 'cpr_x',
    transferId: 'trf_x',
    sampleId: 'myd_x',
    overrideId: 'sov_x',
    serviceId: service.id,
    parId: 'par_x',
    backtestId: 'bt_x',
    forecastId: 'fc_x',
    contractId: 'con_x',
    orderId: 'ord_x',
    lineId: 'ol_x',
    equipmentId: equipment.id,
    menuId: 'menu_x',
    eventId: 'evt_x',
    preOrderId: 'pre_x',
    lotId: 'lot_x',
    planId: 'plan_x',
    taskId: 'task_x',
    readingId: 'temp_x',
    breachId: 'brc_x',
  };
}
