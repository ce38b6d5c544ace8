import { troubleWords } from '../show/trouble.ts';

type Work = () => Promise<unknown>;

/** What a screen says of what was just done, the way back from it, and what went wrong. */
export class Telling {
  said = $state('');
  problem = $state('');
  back = $state.raw<Work | null>(null);

  /** Says what was done; with a way back it can be undone. */
  tell(text: string, back: Work | null = null): void {
    this.said = text;
    this.back = back;
    this.problem = '';
  }

  /** Does something and says what went wrong. @returns whether nothing did */
  async attempt(work: Work): Promise<boolean> {
    this.problem = '';
    try {
      await work();
      return true;
    } catch (error) {
      this.problem = troubleWords(error);
      return false;
    }
  }

  async undo(): Promise<void> {
    const { back } = this;
    this.back = null;
    this.said = '';
    if (back) await this.attempt(back);
  }
}
