import { Controller } from '@nestjs/common';
import { openApiDocument } from '../platform/openapi.js';
import { Route, route } from '../platform/route.js';

const openapi = route({
  method: 'GET',
  path: '/v1/openapi.json',
  tag: 'state',
  summary: 'This description, OpenAPI 3.1',
  access: 'public',
  answerTypes: ['application/json'],
});

@Controller()
export class DescriptionController {
  #document: ReturnType<typeof openApiDocument> | undefined;

  @Route(openapi)
  openapi() {
    this.#document ??= openApiDocument();
    return this.#document;
  }
}
