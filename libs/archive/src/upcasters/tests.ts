/** Version 2 says where in the panel's frame a test was made. */
import type { Payload, Steps } from './upcaster.js';

const withoutPlace = (payload: Payload): Payload => ({ ...payload, atMm: null });

export const TEST_STEPS: Steps = [withoutPlace];
