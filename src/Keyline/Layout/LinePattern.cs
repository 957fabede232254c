namespace Keyline.Layout;

/// <summary>How lines follow each other over a field.</summary>
public enum LinePattern
{
    /// <summary>Families of exact parallels of chosen guides: the spacing is exact within a family, and lines end where families meet.</summary>
    Parallel,

    /// <summary>Every line about a spacing from whatever line lies next, over the whole field, with few ends.</summary>
    Even,

    /// <summary>Straight lines at one bearing: for land that has too little to say to be followed.</summary>
    Straight,

    /// <summary>One keyline, or one contour where no keypoint lies in the field, paralleled both ways across everything: what a
    /// driver does without a plan, to have it in hand beside one.</summary>
    OneKeyline,
}
