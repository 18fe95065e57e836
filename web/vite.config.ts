/**
 * Builds all pages in one run: the desk (`index.html`) and the phone (`phone.html`) as files beside each other, and
 * the report (`export.html`) as one file, built from its own root so that nothing of the desk gets into it.
 */
import { svelte } from '@sveltejs/vite-plugin-svelte';
import { build, defineConfig, type Plugin } from 'vite';
import { reportConfig } from './vite.report.config';

/** After the pages are written, builds the report into the same folder. */
function alsoReport(): Plugin {
  let outDir = 'dist';
  let root = '.';
  return {
    name: 'also-report',
    apply: 'build',
    configResolved(config) {
      outDir = config.build.outDir;
      root = config.root;
    },
    async closeBundle() {
      await build({ ...reportConfig, root, build: { ...reportConfig.build, outDir } });
    },
  };
}

export default defineConfig({
  plugins: [svelte(), alsoReport()],
  build: {
    target: 'es2022',
    modulePreload: { polyfill: false },
    reportCompressedSize: false,
    chunkSizeWarningLimit: 2000,
    rollupOptions: { input: ['index.html', 'phone.html'] },
  },
  server: {
    proxy: {
      '/api': {
        target: 'http://127.0.0.1:7450',
        changeOrigin: true,
        headers: { Origin: 'http://127.0.0.1:7450' },
      },
    },
  },
});
