import type { ConditionClass } from '#libs/vocabulary';
import { client, taken } from './request.js';

/** @param body.happened EDTF: the day of the look */
export const recordCondition = (
  panelId: string,
  body: { conditionClass: ConditionClass; reason: string; happened: string },
): Promise<unknown> =>
  taken(client.POST('/v1/panels/{panelId}/conditions', { params: { path: { panelId } }, body }));
