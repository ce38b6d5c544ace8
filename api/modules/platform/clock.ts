/** The only source of "now" for services; tests pass a fixed or stepped one. */
export interface Clock {
  now(): Date;
}

/** A clock that a test (or the demo) moves by hand. */
export class SteppedClock implements Clock {
  #at: Date;

  constructor(at: Date | string) {
    this.#at = new Date(at);
  }

  now(): Date {
    return new Date(this.#at);
  }

  set(at: Date | string): void {
    this.#at = new Date(at);
  }

  advanceMinutes(minutes: number): void {
    this.#at = new Date(this.#at.getTime() + minutes * 60_000);
  }
}
