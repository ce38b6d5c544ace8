import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { codeOfBase } from '../../core/quantity/index.ts';
import { actorOf } from '../../http/access.ts';
import { CodeQuery, LabelSchema, LabelsSchema } from './labels.schema.ts';
import type { LabelsService, LotLabel } from './labels.service.ts';

const tags = ['labels'];

function toLabelBody(label: LotLabel): z.infer<typeof LabelSchema> {
  const { lot, item, site, code } = label;
  return {
    lotId: lot.id,
    lotCode: label.lotCode,
    supplierLot: lot.supplierLot,
    item: { kind: item.itemKind, id: item.itemId, name: item.name },
    site: { id: site.id, name: site.name, zone: site.zone },
    amount: { value: lot.quantity, unit: codeOfBase(item.measures.baseUnit) },
    state: label.state,
    heldReason: lot.heldReason,
    madeAt: lot.madeAt.toISOString(),
    useBy: label.state === 'held' ? null : lot.useBy.toISOString(),
    useByReason: lot.useByReasons?.[0]?.text ?? null,
    storage: label.storage,
    preparedBy: label.preparedBy,
    contains: [...label.contains],
    mayContain: [...label.mayContain],
    notDeclared: [...label.notDeclared],
    code: { kind: code.kind, text: code.text, rows: [...code.rows] },
    notice: label.notice,
  };
}

/** Label data with a QR code; the page prints it, and so can any label printer's driver. */
export function labelsRoutes(labels: LabelsService): FastifyPluginAsyncZod {
  return async (app) => {
    app.get(
      '/stock-lots/:lotId/label',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'What a label of this lot says, with its QR code',
          params: z.object({ lotId: z.string() }),
          querystring: CodeQuery,
          response: { 200: LabelSchema },
        },
      },
      async (request) =>
        toLabelBody(await labels.ofLot(actorOf(request), request.params.lotId, request.query.code)),
    );
    app.get(
      '/prep-tasks/:taskId/labels',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'The labels of everything a task made',
          params: z.object({ taskId: z.string() }),
          querystring: CodeQuery,
          response: { 200: LabelsSchema },
        },
      },
      async (request) => {
        const { taskId } = request.params;
        const made = await labels.ofTask(actorOf(request), taskId, request.query.code);
        return { items: made.map(toLabelBody) };
      },
    );
  };
}
