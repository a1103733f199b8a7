import { z } from 'zod';
import { askDossierBody, dossierAnswer, idSchema, writtenShape } from '#libs/archive';
import { pageOf, pageQuery } from '../platform/paging.js';
import { route } from '../platform/route.js';

export const listDossiers = route({
  method: 'GET',
  path: '/v1/sites/{siteId}/dossiers',
  tag: 'dossiers',
  summary: 'Dossiers of a site, newest first; the keeper’s kind is shown to keepers',
  access: 'reader',
  query: pageQuery,
  answer: pageOf(dossierAnswer),
  problems: ['site-unknown'],
});

export const askDossier = route({
  method: 'POST',
  path: '/v1/sites/{siteId}/dossiers',
  tag: 'dossiers',
  summary: 'Have a dossier written; follow the job',
  access: 'reader',
  body: askDossierBody,
  answer: z.object({ dossierId: idSchema, jobId: idSchema, ...writtenShape }),
  status: 202,
  problems: ['site-unknown', 'subject-unknown', 'idempotency-key-reused'],
});

export const dossierFile = route({
  method: 'GET',
  path: '/v1/dossiers/{dossierId}/file',
  tag: 'dossiers',
  summary: 'The dossier as a zip file',
  access: 'reader',
  answerTypes: ['application/zip'],
  problems: ['dossier-unknown', 'dossier-not-ready'],
});
