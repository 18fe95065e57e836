/** The report: one file with everything in it, fonts too. */
import { createHash } from 'node:crypto';
import { svelte } from '@sveltejs/vite-plugin-svelte';
import type { InlineConfig, Plugin } from 'vite';
import { viteSingleFile } from 'vite-plugin-singlefile';

/** Lets the report run its own script and nothing else, and ask nobody for anything. */
function ownPolicy(): Plugin {
  return {
    name: 'own-policy',
    enforce: 'post',
    generateBundle: {
      order: 'post',
      handler(_, bundle) {
        for (const file of Object.values(bundle)) {
          if (file.type !== 'asset' || !file.fileName.endsWith('.html')) continue;
          const html = String(file.source);
          const scripts = [...html.matchAll(/<script(?![^>]*application\/json)[^>]*>([\s\S]*?)<\/script>/g)];
          const hashes = scripts.map(
            ([, code = '']) => `'sha256-${createHash('sha256').update(code).digest('base64')}'`,
          );
          const policy = [
            "default-src 'none'",
            `script-src ${hashes.join(' ')}`,
            "style-src 'unsafe-inline'",
            'font-src data:',
            'img-src data:',
            "base-uri 'none'",
            "form-action 'none'",
          ].join('; ');
          file.source = html.replace(
            '<meta charset="utf-8">',
            `<meta charset="utf-8">\n    <meta http-equiv="Content-Security-Policy" content="${policy}">`,
          );
        }
      },
    },
  };
}

export const reportConfig: InlineConfig = {
  configFile: false,
  plugins: [svelte(), viteSingleFile({ removeViteModuleLoader: true }), ownPolicy()],
  build: {
    target: 'es2022',
    emptyOutDir: false,
    reportCompressedSize: false,
    assetsInlineLimit: 100_000_000,
    rollupOptions: { input: 'export.html' },
  },
};

export default reportConfig;
