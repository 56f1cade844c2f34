declare const PhotoSwipe: any;
export default PhotoSwipe;
