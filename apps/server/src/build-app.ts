import 'reflect-metadata';
import { type Type, ValidationPipe } from '@nestjs/common';
import { NestFactory } from '@nestjs/core';
import { FastifyAdapter, type NestFastifyApplication } from '@nestjs/platform-fastify';
import { DocumentBuilder, type OpenAPIObject, SwaggerModule } from '@nestjs/swagger';
import { ProblemFilter } from './platform/problem.filter.js';

/** Same pipes and filters for the running server, the OpenAPI writer and the tests. */
export function configure(app: NestFastifyApplication): NestFastifyApplication {
  app.useGlobalPipes(
    new ValidationPipe({ whitelist: true, forbidNonWhitelisted: true, transform: true }),
  );
  app.useGlobalFilters(new ProblemFilter());
  app.enableShutdownHooks();
  return app;
}

export async function buildApp(root: Type): Promise<NestFastifyApplication> {
  const app = await NestFactory.create<NestFastifyApplication>(root, new FastifyAdapter(), {
    logger: ['error', 'warn'],
  });
  return configure(app);
}

export function openApiOf(app: NestFastifyApplication): OpenAPIObject {
  const about = new DocumentBuilder()
    .setTitle('Mullion')
    .setVersion('0')
    .setOpenAPIVersion('3.1.1');
  return SwaggerModule.createDocument(app, about.build(), {
    operationIdFactory: (_controller, method) => method,
  });
}
