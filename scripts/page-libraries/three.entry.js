/* scripts/page-libraries/three.entry.js - what the 3-D view of the page uses of three.js. */
export {
  AmbientLight, BoxGeometry, Color, DirectionalLight, InstancedMesh, Matrix4, Mesh, MeshBasicMaterial,
  MeshLambertMaterial, PerspectiveCamera, PlaneGeometry, Scene, Vector3, WebGLRenderer
} from 'three';
export { OrbitControls } from 'three/examples/jsm/controls/OrbitControls.js';
