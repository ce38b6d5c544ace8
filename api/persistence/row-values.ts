import { Prisma } from './generated/client.ts';

// The one place where database values become the core's and back.

/** A `date` column as a service date. */
export function toServiceDate(date: Date): string {
  return date.toISOString().slice(0, 10);
}

/** A service date as the value of a `date` column. */
export function fromServiceDate(date: string): Date {
  return new Date(`${date}T00:00:00.000Z`);
}

/** A nullable `date` column as an optional service date. */
export function toOptionalDate(date: Date | null): string | null {
  return date === null ? null : toServiceDate(date);
}

/** An optional service date as the value of a nullable `date` column. */
export function fromOptionalDate(date: string | null | undefined): Date | null {
  return date ? fromServiceDate(date) : null;
}

/** A numeric column as a decimal string without trailing zeros: "12.4", "0". */
export function toDecimalString(value: Prisma.Decimal): string {
  return value.toFixed();
}

/** A JSON column's value, typed by the repository that wrote it. */
export function fromJson<T>(value: Prisma.JsonValue): T {
  return value as T;
}

/** A plain value as a JSON column's input. */
export function toJson(value: unknown): Prisma.InputJsonValue {
  return value as Prisma.InputJsonValue;
}

/** A plain value or SQL NULL for a nullable JSON column. */
export function toNullableJson(value: unknown): Prisma.InputJsonValue | typeof Prisma.DbNull {
  return value === null || value === undefined ? Prisma.DbNull : (value as Prisma.InputJsonValue);
}
