/** The report: one file with everything in it, fonts too. */
import { svelte } from '@sveltejs/vite-plugin-svelte';
import type { InlineConfig } from 'vite';
import { viteSingleFile } from 'vite-plugin-singlefile';

export const reportConfig: InlineConfig = {
  configFile: false,
  plugins: [svelte(), viteSingleFile({ removeViteModuleLoader: true })],
  build: {
    target: 'es2022',
    emptyOutDir: false,
    reportCompressedSize: false,
    assetsInlineLimit: 100_000_000,
    rollupOptions: { input: 'export.html' },
  },
};

export default reportConfig;
