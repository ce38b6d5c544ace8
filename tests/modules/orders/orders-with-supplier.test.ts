import { describe, expect, it } from 'vitest';
import {
  app,
  approve,
  buyer,
  pack,
  planAsksFor,
  proposed,
  run,
  supplier,
  useBuyingDesk,
} from '../../helpers/buying-desk.ts';
import { SITE } from '../../helpers/demo-site.ts';
import { chefOf } from '../../helpers/test-app.ts';

useBuyingDesk();

describe('orders already with the supplier', () => {
  const send = async (order: { id: string; rev: number }) =>
    (
      await buyer()
        .post(`/v1/orders/${order.id}/send`)
        .set('if-match', `"${order.rev}"`)
        .expect(200)
    ).body;
  const nowAsksFor = async (date: string, value: number): Promise<void> => {
    await app().database.prisma.ingredientNeed.update({
      where: { id: `need_${date}` },
      data: { quantity: value },
    });
    const explanation = await app().database.prisma.explanation.findUniqueOrThrow({
      where: { id: 'exp_t' },
    });
    const nodes = (explanation.nodes as { id: string; value: number }[]).map((node) =>
      node.id === `node_${date}` ? { ...node, value } : node,
    );
    await app().database.prisma.explanation.update({ where: { id: 'exp_t' }, data: { nodes } });
  };

  it('follow the plan while they are not sent, and wait for approval again under their number', async () => {
    await supplier('sup_a');
    await pack('pack_500', 'sup_a', 500, [[1, '5.00']]);
    await planAsksFor({ '2026-03-12': 900 });
    await run();
    const first = await approve((await proposed())[0]);
    await run();
    expect(await proposed()).toEqual([]);
    await nowAsksFor('2026-03-12', 1400);
    await run();
    const [changed] = await proposed();
    expect(changed).toMatchObject({ id: first.id, number: 1, lines: [{ packs: 3 }] });
    expect(changed?.lastRefresh?.differences).toMatchObject([
      { what: 'changed', offerId: 'pack_500', packsBefore: 2, plannedPacks: 3, packsNow: 3 },
    ]);
    expect((await approve(changed)).number).toBe(1);
  });

  it('count as due once sent; what needs grow by comes with the next delivery, the gap named', async () => {
    await supplier('sup_a');
    await pack('pack_500', 'sup_a', 500, [[1, '5.00']]);
    await planAsksFor({ '2026-03-12': 900, '2026-03-13': 10 });
    await run();
    const first = await approve((await proposed())[0]);
    await send(first);
    await run();
    expect(await proposed()).toEqual([]);
    app().clock.set(new Date('2026-03-11T14:00:00Z'));
    await nowAsksFor('2026-03-12', 1400);
    const { shortfalls, additions } = await run();
    app().clock.set(new Date('2026-03-10T05:30:00Z'));
    expect(shortfalls).toMatchObject([
      {
        reason: 'past-cutoff',
        amount: { value: 400 },
        needDate: '2026-03-12',
        nextFrom: '2026-03-13',
      },
    ]);
    expect(additions).toMatchObject([
      {
        orderId: first.id,
        orderNumber: 1,
        added: [{ deliveryDate: '2026-03-13', packs: 1 }],
        short: { value: 400 },
      },
    ]);
    const [addition] = await proposed();
    expect(addition?.deliveryDate).toBe('2026-03-13');
    expect(addition?.notes[0]).toBe('Addition to order 1, which is with the supplier: Butter.');
  });

  it('are cancelled with a reason, once, and keep their number so that none repeats', async () => {
    await supplier('sup_a');
    await pack('pack_500', 'sup_a', 500, [[1, '5.00']]);
    await planAsksFor({ '2026-03-12': 900 });
    await run();
    const first = await approve((await proposed())[0]);
    const path = `/v1/orders/${first.id}/cancel`;
    const cancel = (rev: number, reason = 'The event is off') =>
      buyer().post(path).set('if-match', `"${rev}"`).send({ reason });
    await buyer().post(path).send({ reason: 'The event is off' }).expect(428);
    await cancel(1).expect(412);
    await cancel(2, ' ').expect(400);
    const gone = await cancel(2).expect(200);
    expect(gone.body).toMatchObject({ status: 'cancelled', number: 1, rev: 3 });
    expect(gone.body.notes.join(' ')).toContain('The event is off');
    await cancel(3).expect(409);
    await app()
      .as(chefOf(SITE))
      .post(path)
      .set('if-match', '"3"')
      .send({ reason: 'x' })
      .expect(403);
    await run();
    expect((await approve((await proposed())[0])).number).toBe(2);
  });

  it('get numbers without gaps or repeats when approved at the same moment', async () => {
    await supplier('sup_a');
    await pack('pack_500', 'sup_a', 500, [[1, '5.00']]);
    await app().database.prisma.pack.update({
      where: { id: 'pack_500' },
      data: { shelfLifeDays: 0 },
    });
    await planAsksFor({ '2026-03-11': 500, '2026-03-12': 500, '2026-03-13': 500 });
    await run();
    const orders = await proposed();
    const approved = await Promise.all(orders.map(approve));
    expect(approved.map((order) => order.number).sort()).toEqual([1, 2, 3]);
  });

  it('go out as UBL and as a workbook once they have a number', async () => {
    await supplier('sup_a');
    await pack('pack_500', 'sup_a', 500, [[1, '5.00']]);
    await planAsksFor({ '2026-03-12': 900 });
    await run();
    const [order] = await proposed();
    const path = `/v1/orders/${order?.id}/export`;
    await buyer().get(`${path}?format=ubl`).expect(409);
    await buyer().get(`${path}?format=csv`).expect(200);
    await approve(order);
    const ubl = await buyer().get(`${path}?format=ubl`).expect(200);
    expect(ubl.headers['content-disposition']).toContain('.xml');
    // Namespace of the OASIS UBL 2.1 Order schema.
    expect(ubl.text).toContain('urn:oasis:names:specification:ubl:schema:xsd:Order-2');
    expect(ubl.text).toContain('<cbc:ID>1</cbc:ID>');
    const book = await buyer().get(`${path}?format=xlsx`).responseType('blob').expect(200);
    // A workbook is a ZIP file, which begins with these two letters (PKWARE APPNOTE 4.3.7).
    expect((book.body as Buffer).subarray(0, 2).toString('latin1')).toBe('PK');
  });
});
