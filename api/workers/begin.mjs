// The sources are TypeScript: a new thread first needs the loader that the service runs with.
import { register } from 'tsx/esm/api';

register();
await import('./calculation.ts');
