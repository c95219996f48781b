// Builds the pages into the package. Nothing is fetched, nothing is inlined: the policy of the pages forbids both.
import { defineConfig } from 'vite';

/** What only the desk page loads is named for it, so that no phone has to keep it (server/pages.py). */
const isDesk = (module: string): boolean => /[\\/]src[\\/]desk[\\/]|[\\/]desk\.html/.test(module);
/** Styles are named after the part that wants them: a view of the desk page begins with a capital. */
const isDeskStyle = (name: string): boolean => /^(desk|[A-Z])/.test(name);

export default defineConfig({
  base: './',
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  build: {
    target: 'es2022',
    outDir: '../src/tendline/server/pages',
    emptyOutDir: true,
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    sourcemap: false,
    rollupOptions: {
      input: ['index.html', 'desk.html'],
      output: {
        entryFileNames: (chunk) => (isDesk(chunk.facadeModuleId ?? '') ? 'assets/desk-[hash].js' : 'assets/[name]-[hash].js'),
        chunkFileNames: (chunk) => (chunk.moduleIds.every(isDesk) ? 'assets/desk-[name]-[hash].js' : 'assets/[name]-[hash].js'),
        assetFileNames: (asset) => (asset.names.some(isDeskStyle) ? 'assets/desk-[name]-[hash][extname]' : 'assets/[name]-[hash][extname]'),
      },
    },
  },
});
