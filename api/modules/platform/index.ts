export * from './actor.ts';
export * from './audit.ts';
export * from './clock.ts';
export * from './ids.ts';
export * from './page.ts';
export * from './refusal.ts';
export * from './revision.ts';
export * from './unit-of-work.ts';
