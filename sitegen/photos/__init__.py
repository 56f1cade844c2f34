"""Read photos, check them, and make the pictures that pages show. Pictures are cached between builds."""
