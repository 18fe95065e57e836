import { mount } from 'svelte';
import '../lib/css/base.css';
import { readBlob } from './blob';
import Report from './Report.svelte';

const target = document.getElementById('app');
if (target) mount(Report, { target, props: { blob: readBlob(document) } });
