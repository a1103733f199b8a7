# Mullion's server and worker in one image; docker-compose.yml starts each with its own command.
FROM node:24.21.0-bookworm-slim AS build
WORKDIR /app
COPY package.json package-lock.json .npmrc ./
RUN npm ci
COPY . .
RUN npm run build && npm prune --omit=dev

FROM node:24.21.0-bookworm-slim
ENV NODE_ENV=production
WORKDIR /app
COPY --from=build /app/package.json ./
COPY --from=build /app/node_modules ./node_modules
COPY --from=build /app/prisma ./prisma
COPY --from=build /app/dist ./dist
COPY --from=build /app/tools ./tools
RUN mkdir -p /var/lib/mullion && chown node:node /var/lib/mullion && chmod 700 /var/lib/mullion
USER node
VOLUME /var/lib/mullion
EXPOSE 4173
CMD ["node", "dist/apps/server/src/main.js"]
