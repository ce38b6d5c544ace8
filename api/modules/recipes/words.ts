const MIN_PER_HOUR = 60;
const MIN_PER_DAY = 1440;

/** Minutes as a cook says them: '45 min', '1 h 30 min', '3 days'. */
export function inDuration(minutes: number): string {
  const days = Math.floor(minutes / MIN_PER_DAY);
  const hours = Math.floor((minutes % MIN_PER_DAY) / MIN_PER_HOUR);
  const rest = minutes % MIN_PER_HOUR;
  const parts = [
    days > 0 ? `${days} ${days === 1 ? 'day' : 'days'}` : '',
    hours > 0 ? `${hours} h` : '',
    rest > 0 ? `${rest} min` : '',
  ].filter((part) => part !== '');
  return parts.length === 0 ? 'no time' : parts.join(' ');
}

/** A fraction as a percentage with at most one decimal: '8 %', '12.5 %'. */
export function inPercent(fraction: number): string {
  return `${Math.round(fraction * 1000) / 10} %`;
}
