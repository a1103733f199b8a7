/** Made by the build out of `apps/studio/locales/de` (`vite-messages.ts`). */
declare module 'virtual:catalogue/de' {
  const catalogue: unknown;
  export default catalogue;
}
