// Timers of waiting steps. They live on this device and survive a reload.

export interface Timer {
  readonly id: string;
  readonly taskId: string;
  readonly name: string;
  readonly endsAt: number;
}

const KEPT_AS = 'tamis-timers';
const SECOND_MS = 1000;

function read(): Timer[] {
  try {
    const found: unknown = JSON.parse(localStorage.getItem(KEPT_AS) ?? '[]');
    return Array.isArray(found) ? (found as Timer[]) : [];
  } catch {
    return [];
  }
}

export const timers = $state({ running: read(), now: Date.now() });
let rung: readonly string[] = [];
let sound: AudioContext | null = null;

function save(): void {
  localStorage.setItem(KEPT_AS, JSON.stringify(timers.running));
}

/** Starts a timer. Called from a press, so that the browser allows its sound later. */
export function startTimer(id: string, taskId: string, name: string, minutes: number): void {
  sound ??= typeof AudioContext === 'undefined' ? null : new AudioContext();
  timers.now = Date.now();
  timers.running.push({ id, taskId, name, endsAt: timers.now + minutes * 60 * SECOND_MS });
  save();
}

export function stopTimer(id: string): void {
  timers.running = timers.running.filter((timer) => timer.id !== id);
  rung = rung.filter((one) => one !== id);
  save();
}

function ring(): void {
  if (!sound) return;
  for (let i = 0; i < 3; i += 1) {
    const tone = sound.createOscillator();
    tone.frequency.value = 880;
    tone.connect(sound.destination);
    tone.start(sound.currentTime + i * 0.5);
    tone.stop(sound.currentTime + i * 0.5 + 0.25);
  }
}

setInterval(() => {
  if (timers.running.length === 0) return;
  timers.now = Date.now();
  for (const timer of timers.running) {
    if (timer.endsAt > timers.now || rung.includes(timer.id)) continue;
    rung = [...rung, timer.id];
    ring();
  }
}, SECOND_MS);
