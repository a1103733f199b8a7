import {
  type CallHandler,
  type ExecutionContext,
  Injectable,
  type NestInterceptor,
} from '@nestjs/common';
import type { FastifyReply } from 'fastify';
import { map, type Observable } from 'rxjs';

/** `ETag: "<version>"` on every single thing that has a version. */
@Injectable()
export class EtagInterceptor implements NestInterceptor {
  intercept(context: ExecutionContext, next: CallHandler<unknown>): Observable<unknown> {
    const reply = context.switchToHttp().getResponse<FastifyReply>();
    return next.handle().pipe(
      map((answer) => {
        if (typeof answer === 'object' && answer !== null && 'version' in answer) {
          const { version } = answer;
          if (typeof version === 'number') void reply.header('ETag', `"${version}"`);
        }
        return answer;
      }),
    );
  }
}
