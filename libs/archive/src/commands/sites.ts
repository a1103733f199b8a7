import { z } from 'zod';
import { formatWindow } from '#libs/marks';
import { Problem } from '#libs/problem';
import { defineCommand } from '../command.js';
import { checkedBuilding, checkedMarkIn, siteFileForm } from '../marks.js';
import { siteMarkOf, sitePlace } from '../place.js';
import { makeFindable } from '../search-row.js';
import { idSchema, markText, shortText } from '../shapes.js';
import { checkedSubjects } from '../subjects.js';
import { changeRows, findRow, putRow } from '../tables.js';
import { siteView } from '../views/site-view.js';
import { without } from '../without.js';
import { lastEntryAbout } from './superseded.js';

export const addSiteBody = z.strictObject({
  code: z.string().describe('2 to 8 capitals or digits, e.g. SLM'),
  unit: z.string().optional().describe('a building counted on its own, e.g. CH'),
  name: shortText,
  scheme: z.enum(['church', 'free']).describe('how windows are numbered'),
  place: z.string().trim().min(1).max(400).optional(),
});

export const addSite = defineCommand({
  type: 'site.add',
  body: addSiteBody,
  role: 'keeper',
  status: 201,
  siteOf: () => Promise.resolve(null),
  async decide({ code, unit, ...said }, ctx) {
    const mark = siteMarkOf({ code, unit: unit ?? null });
    const building = checkedBuilding(mark, unit === undefined ? 'code' : 'code, unit');
    const same = await ctx.tx.first(
      `SELECT 1 FROM site WHERE code = $1 AND coalesce(unit, '') = $2`,
      [code, unit ?? ''],
    );
    if (same !== undefined) {
      throw new Problem(
        'site-exists',
        `A site has the mark ${mark}. Choose another code or unit.`,
        {
          field: 'code',
        },
      );
    }
    const siteId = ctx.newId();
    return {
      log: { siteId, begins: siteFileForm(building) },
      subject: mark,
      happened: null,
      payload: { siteId, code, unit: unit ?? null, ...said, place: said.place ?? null },
    };
  },
  async project({ payload, seq, recordedAt }, tx) {
    await putRow(tx, 'site', { ...payload, version: seq, addedAt: recordedAt });
  },
  answer: async ({ payload }, tx) =>
    siteView((await findRow(tx, 'site', { siteId: payload.siteId }))!),
});

export const describeSiteBody = z.strictObject({
  name: shortText,
  place: z.string().trim().min(1).max(400).nullable(),
});

export const describeSite = defineCommand({
  type: 'site.describe',
  body: describeSiteBody.extend({ siteId: idSchema }),
  role: 'keeper',
  siteOf: async ({ siteId }, tx) => (await sitePlace(tx, siteId)).siteId,
  async decide({ siteId, name, place }, ctx) {
    const { siteMark, version } = await sitePlace(ctx.tx, siteId);
    ctx.expectVersion(version);
    return {
      log: { siteId },
      subject: siteMark,
      happened: null,
      payload: { siteId, name, place },
      ...(await lastEntryAbout(ctx.tx, siteId, siteMark, ['site.add', 'site.describe'])),
    };
  },
  async project({ payload: { siteId, name, place }, seq }, tx) {
    await changeRows(tx, 'site', { siteId }, { name, place, version: seq });
  },
  answer: async ({ payload }, tx) =>
    siteView((await findRow(tx, 'site', { siteId: payload.siteId }))!),
});

export const addAliasBody = z.strictObject({
  mark: markText,
  scheme: shortText.describe('whose numbering, e.g. fr, survey 1978'),
  text: shortText.describe('the number as written there'),
  source: z.string().trim().min(1).max(400).describe('where it was found'),
});

/** An earlier number of another studio or archive. */
export const addAlias = defineCommand({
  type: 'alias.add',
  body: addAliasBody.extend({ siteId: idSchema }),
  role: 'recorder',
  status: 201,
  siteOf: async ({ siteId }, tx) => (await sitePlace(tx, siteId)).siteId,
  async decide({ siteId, mark, ...said }, ctx) {
    const { siteMark, scheme } = await sitePlace(ctx.tx, siteId);
    const window = checkedMarkIn(siteMark, scheme, mark, 'mark').window;
    const [subject] = await checkedSubjects(ctx.tx, siteId, [mark], 'mark');
    return {
      log: { siteId },
      subject: subject!,
      happened: null,
      payload: {
        aliasId: ctx.newId(),
        mark: subject!,
        windowMark: window === undefined ? null : formatWindow(window),
        ...said,
      },
    };
  },
  async project(entry, tx) {
    const { windowMark, ...alias } = entry.payload;
    await putRow(tx, 'alias', { siteId: entry.siteId!, ...alias });
    await makeFindable(tx, entry, {
      kind: 'alias',
      rowId: alias.aliasId,
      subject: alias.mark,
      windowMark,
      title: `${alias.text} (${alias.scheme})`,
      text: [alias.mark, alias.source],
    });
  },
  answer: (entry) => {
    const alias = without(entry.payload, 'windowMark');
    return Promise.resolve({ siteId: entry.siteId!, ...alias });
  },
});
