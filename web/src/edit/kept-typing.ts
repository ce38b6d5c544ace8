import type { TypedDraft } from './draft.ts';

// What is typed and not saved stays on this device, so that a closed page loses nothing.

interface KeptTyping {
  readonly at: number;
  /** The saving it was typed over. */
  readonly rev: number;
  readonly draft: TypedDraft;
}
// The number changes when a draft gains fields: what was typed into an older page is let go.
const keyOf = (recipeId: string, versionId: string): string =>
  `tamis-draft-2 ${recipeId} ${versionId}`;

export function keepTyped(
  recipeId: string,
  versionId: string,
  rev: number,
  draft: TypedDraft,
): void {
  try {
    const kept: KeptTyping = { at: Date.now(), rev, draft };
    localStorage.setItem(keyOf(recipeId, versionId), JSON.stringify(kept));
  } catch {
    // A full or forbidden store loses only the safety net, not the page.
  }
}
export function typedBefore(recipeId: string, versionId: string): KeptTyping | null {
  try {
    return JSON.parse(localStorage.getItem(keyOf(recipeId, versionId)) ?? 'null') as KeptTyping;
  } catch {
    return null;
  }
}
export function dropTyped(recipeId: string, versionId: string): void {
  localStorage.removeItem(keyOf(recipeId, versionId));
}
