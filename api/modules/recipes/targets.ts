import { createHash } from 'node:crypto';

interface LineLike {
  readonly ingredientId: string | null;
  readonly componentId: string | null;
}
interface StepLike {
  readonly text: string;
}

/**
 * Keys by which a line is found again in another version: what it names, and which of several lines
 * that name it. In the order of the lines.
 */
export function lineKeys(lines: readonly LineLike[]): readonly string[] {
  const nth = counter();
  return lines.map((line) => {
    const itemId = line.ingredientId ?? line.componentId ?? '';
    return `line:${itemId}:${nth(itemId)}`;
  });
}

/** Keys by which a step is found again: what it says, and which of several that say the same. */
export function stepKeys(steps: readonly StepLike[]): readonly string[] {
  const nth = counter();
  return steps.map(({ text }) => {
    const said = text.trim().toLowerCase().replace(/\s+/g, ' ');
    const digest = createHash('sha256').update(said).digest('hex').slice(0, 32);
    return `step:${digest}:${nth(digest)}`;
  });
}

function counter(): (of: string) => number {
  const seen = new Map<string, number>();
  return (of) => {
    const count = (seen.get(of) ?? 0) + 1;
    seen.set(of, count);
    return count;
  };
}
