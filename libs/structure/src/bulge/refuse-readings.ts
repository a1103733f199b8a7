import { StructureError } from '../structure-error.js';

/** @throws StructureError `bad-readings`, always */
export function refuseReadings(message: string, field = 'readings'): never {
  throw new StructureError('bad-readings', message, field);
}
