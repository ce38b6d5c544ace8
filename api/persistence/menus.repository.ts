import type { Menu, MenuLine, MenusRepository, MenuToSave } from '../modules/menus/index.ts';
import { pageOf, type NewId } from '../modules/platform/index.ts';
import type { Db } from './database.ts';
import { refuseDuplicates } from './database-errors.ts';
import type { Menu as MenuRow, MenuLine as MenuLineRow } from './generated/client.ts';
import {
  fromOptionalDate,
  fromServiceDate,
  toDecimalString,
  toOptionalDate,
  toServiceDate,
} from './row-values.ts';

const taken = 'This site has a menu of that name already.';
const withLines = { lines: { orderBy: { id: 'asc' } } } as const;
const bump = { rev: { increment: 1 } } as const;

const toLine = (row: MenuLineRow): MenuLine => ({
  id: row.id,
  dishId: row.dishId,
  serviceId: row.serviceId,
  share: row.share,
  netPrice: toDecimalString(row.priceAmount),
  taxRate: row.taxRate,
  targetCost: row.targetCost,
  oneACover: row.oneACover,
});

const toMenu = (row: MenuRow & { readonly lines: readonly MenuLineRow[] }): Menu => ({
  id: row.id,
  siteId: row.siteId,
  name: row.name,
  activeFrom: toServiceDate(row.activeFrom),
  activeTo: toOptionalDate(row.activeTo),
  lines: row.lines.map(toLine),
  archived: row.archivedAt !== null,
  rev: row.rev,
});

const menuColumns = (menu: MenuToSave) => ({
  name: menu.name,
  activeFrom: fromServiceDate(menu.activeFrom),
  activeTo: fromOptionalDate(menu.activeTo),
});

/** Active on some date from `from` to `to`, where null leaves that end open. */
const activeBetween = (from: string, to: string | null) => ({
  archivedAt: null,
  ...(to === null ? {} : { activeFrom: { lte: fromServiceDate(to) } }),
  OR: [{ activeTo: null }, { activeTo: { gte: fromServiceDate(from) } }],
});

/** Menus with their lines. Updates return null when the revision is not current. */
export function createMenusRepository(db: Db, newId: NewId): MenusRepository {
  const find = async (id: string): Promise<Menu | null> => {
    const row = await db.menu.findUnique({ where: { id }, include: withLines });
    return row && toMenu(row);
  };
  const writeLines = async (
    menuId: string,
    menu: MenuToSave,
    old: readonly MenuLine[],
  ): Promise<void> => {
    const key = (line: Pick<MenuLine, 'dishId' | 'serviceId'>): string =>
      `${line.dishId} ${line.serviceId ?? ''}`;
    const ids = new Map(old.map((line) => [key(line), line.id]));
    await db.menuLine.deleteMany({ where: { menuId } });
    await db.menuLine.createMany({
      data: menu.lines.map(({ netPrice, ...line }) => ({
        id: ids.get(key(line)) ?? newId('ml'),
        menuId,
        ...line,
        priceAmount: netPrice,
      })),
    });
  };

  return {
    find,
    async page(siteId, { limit, after }, { archived, on }) {
      const rows = await db.menu.findMany({
        where: {
          siteId,
          ...(on === undefined ? {} : activeBetween(on, on)),
          ...(archived ? {} : { archivedAt: null }),
          ...(after === undefined ? {} : { id: { gt: after } }),
        },
        include: withLines,
        orderBy: { id: 'asc' },
        take: limit + 1,
      });
      return pageOf(rows.map(toMenu), limit);
    },
    async overlapping(siteId, from, to) {
      const rows = await db.menu.findMany({
        where: { siteId, ...activeBetween(from, to) },
        include: withLines,
        orderBy: { id: 'asc' },
      });
      return rows.map(toMenu);
    },
    async activeLines(siteId, from, to) {
      const rows = await db.menu.findMany({
        where: { siteId, ...activeBetween(from, to) },
        include: withLines,
        orderBy: { id: 'asc' },
      });
      return rows.map(toMenu).flatMap((menu) =>
        menu.lines.map((line) => ({
          ...line,
          menuId: menu.id,
          menuName: menu.name,
          siteId,
          activeFrom: menu.activeFrom,
          activeTo: menu.activeTo,
        })),
      );
    },
    async offersOf(dishIds, from) {
      const rows = await db.menuLine.findMany({
        where: { dishId: { in: [...dishIds] }, menu: activeBetween(from, null) },
        include: { menu: true },
        orderBy: { id: 'asc' },
      });
      return rows.map(({ menu, ...line }) => ({
        menuLineId: line.id,
        menuId: menu.id,
        menuName: menu.name,
        siteId: menu.siteId,
        dishId: line.dishId,
        serviceId: line.serviceId,
        activeFrom: toServiceDate(menu.activeFrom),
        activeTo: toOptionalDate(menu.activeTo),
      }));
    },
    insert: (id, siteId, menu) =>
      refuseDuplicates(taken, '/name', async () => {
        await db.menu.create({ data: { id, siteId, ...menuColumns(menu) } });
        await writeLines(id, menu, []);
        const made = await find(id);
        if (!made) throw new Error('A row just written was not found.');
        return made;
      }),
    update: (id, menu, rev) =>
      refuseDuplicates(taken, '/name', async () => {
        const old = await db.menuLine.findMany({ where: { menuId: id } });
        const { count } = await db.menu.updateMany({
          where: { id, rev },
          data: { ...menuColumns(menu), ...bump },
        });
        if (count === 0) return null;
        await writeLines(id, menu, old.map(toLine));
        return find(id);
      }),
    async setArchived(id, archived, rev, at) {
      const { count } = await db.menu.updateMany({
        where: { id, rev },
        data: { archivedAt: archived ? at : null, ...bump },
      });
      return count === 0 ? null : find(id);
    },
  };
}
