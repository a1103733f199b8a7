import { PrismaPg } from '@prisma/adapter-pg';
import { PrismaClient } from '../../../prisma/client/client.js';

/** The one door to PostgreSQL for the server and the worker. */
export class Db extends PrismaClient {
  constructor(databaseUrl: string) {
    super({ adapter: new PrismaPg({ connectionString: databaseUrl }) });
  }
}
