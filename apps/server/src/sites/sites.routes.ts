import { z } from 'zod';
import {
  addAliasBody,
  addSiteBody,
  describeSiteBody,
  idSchema,
  siteAnswer,
  writtenShape,
} from '#libs/archive';
import { pageOf, pageQuery } from '../platform/paging.js';
import { route } from '../platform/route.js';

export const listSites = route({
  method: 'GET',
  path: '/v1/sites',
  tag: 'sites',
  summary: 'Sites that the person may read',
  access: 'signed-in',
  query: pageQuery,
  answer: pageOf(siteAnswer),
});

export const addSite = route({
  method: 'POST',
  path: '/v1/sites',
  tag: 'sites',
  summary: 'Add a site; its log begins with this entry',
  access: 'keeper',
  body: addSiteBody,
  answer: siteAnswer.extend(writtenShape),
  status: 201,
  problems: ['site-exists', 'mark-invalid', 'idempotency-key-reused'],
});

export const site = route({
  method: 'GET',
  path: '/v1/sites/{siteId}',
  tag: 'sites',
  summary: 'One site',
  access: 'reader',
  answer: siteAnswer,
  problems: ['site-unknown'],
});

export const describeSite = route({
  method: 'PUT',
  path: '/v1/sites/{siteId}',
  tag: 'sites',
  summary: 'Revise name and place of a site',
  access: 'keeper',
  revises: 'required',
  body: describeSiteBody,
  answer: siteAnswer.extend(writtenShape),
  problems: ['site-unknown', 'idempotency-key-reused'],
});

export const addAlias = route({
  method: 'POST',
  path: '/v1/sites/{siteId}/aliases',
  tag: 'marks',
  summary: 'Record an earlier number of a window, panel or piece',
  access: 'recorder',
  body: addAliasBody,
  answer: z.object({
    siteId: idSchema,
    aliasId: idSchema,
    mark: z.string(),
    scheme: z.string(),
    text: z.string(),
    source: z.string(),
    ...writtenShape,
  }),
  status: 201,
  problems: ['site-unknown', 'mark-invalid', 'subject-unknown', 'idempotency-key-reused'],
});

export const resolveMark = route({
  method: 'GET',
  path: '/v1/marks/{mark}',
  tag: 'marks',
  summary: 'Where a mark or an earlier number leads',
  access: 'signed-in',
  answer: z.object({
    kind: z.string().describe('site, window, panel, tracery, piece, lead, joint, …'),
    fullMark: z.string(),
    siteId: idSchema,
    windowId: idSchema.nullable(),
    panelId: idSchema.nullable(),
    pieceId: idSchema.nullable(),
    alias: z.string().nullable().describe('the earlier number that led here'),
  }),
  problems: ['mark-unknown', 'mark-invalid'],
});
