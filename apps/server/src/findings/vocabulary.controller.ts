import { Controller } from '@nestjs/common';
import { Problem } from '#libs/problem';
import {
  cautionsFor,
  cautionText,
  DEFERRAL,
  FINDING_TERMS,
  type FindingTerm,
  findingTerm,
  legendSvg,
  OKABE_ITO,
  OPERATION_GROUPS,
  OPERATIONS,
  TERM_GROUPS,
} from '#libs/vocabulary';
import { Asked, type AskedFor, Route } from '../platform/route.js';
import * as routes from './vocabulary.routes.js';

@Controller()
export class VocabularyController {
  @Route(routes.listTerms)
  listTerms() {
    return { items: FINDING_TERMS.map(termView), next: null };
  }

  @Route(routes.listOperations)
  listOperations() {
    const today = new Date().toISOString().slice(0, 10);
    const items = OPERATIONS.map(({ key, cautions, ...shown }) => ({
      operation: key,
      ...shown,
      groupLabel: OPERATION_GROUPS[shown.group],
      cautions: cautionsFor(cautions).map((caution) => ({
        key: caution.key,
        protects: caution.protects,
        text: cautionText(caution, null, today),
      })),
    }));
    return { items, deferral: DEFERRAL, next: null };
  }

  @Route(routes.legend)
  legend(@Asked() { query, reply }: AskedFor<typeof routes.legend>) {
    void reply.type('image/svg+xml');
    return legendSvg(query.terms === undefined ? FINDING_TERMS : query.terms.split(',').map(known));
  }
}

function known(key: string): FindingTerm {
  const term = findingTerm(key.trim());
  if (term !== undefined) return term;
  throw new Problem('term-unknown', `terms: there is no ${key}. /v1/terms lists them.`, {
    field: 'terms',
  });
}

function termView({ key, geometries, quantities, sign, ...shown }: FindingTerm) {
  return {
    term: key,
    ...shown,
    groupLabel: TERM_GROUPS[shown.group].label,
    geometry: geometries,
    measure: quantities,
    hatch: {
      pattern: sign.area ?? sign.line ?? sign.point ?? 'plain',
      colour: OKABE_ITO[sign.colour],
    },
    sign,
  };
}
