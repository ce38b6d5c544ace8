export * from './errors.ts';
export * from './result.ts';
