import '../lib/css/base.css';
