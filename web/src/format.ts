/** Shows an amount of the API: grams as kilograms and millilitres as litres where that reads better. */
export function amount(value: { value: number; unit: string }): string {
  const number = (n: number, digits: number): string =>
    new Intl.NumberFormat('en-GB', { maximumFractionDigits: digits }).format(n);
  if (value.unit === 'g') {
    return value.value >= 1000
      ? `${number(value.value / 1000, 2)} kg`
      : `${number(value.value, 0)} g`;
  }
  if (value.unit === 'mL') {
    return value.value >= 1000
      ? `${number(value.value / 1000, 2)} l`
      : `${number(value.value, 0)} ml`;
  }
  return number(value.value, 1);
}

/** A local clock time in the site's zone, with the day when it is another one. */
export function clock(at: string, zone: string, day: string): string {
  const date = new Date(at);
  const time = new Intl.DateTimeFormat('en-GB', {
    timeZone: zone,
    hour: '2-digit',
    minute: '2-digit',
  });
  const own = new Intl.DateTimeFormat('en-CA', { timeZone: zone }).format(date);
  if (own === day) return time.format(date);
  const name = new Intl.DateTimeFormat('en-GB', { timeZone: zone, weekday: 'short' }).format(date);
  return `${name} ${time.format(date)}`;
}

export function longDate(date: string): string {
  return new Intl.DateTimeFormat('en-GB', {
    weekday: 'long',
    day: 'numeric',
    month: 'long',
    timeZone: 'UTC',
  }).format(new Date(`${date}T00:00:00Z`));
}

export function shiftDate(date: string, days: number): string {
  const at = new Date(`${date}T00:00:00Z`);
  at.setUTCDate(at.getUTCDate() + days);
  return at.toISOString().slice(0, 10);
}

export function money(value: { amount: string; currency: string }): string {
  return new Intl.NumberFormat('en-GB', { style: 'currency', currency: value.currency }).format(
    Number(value.amount),
  );
}
