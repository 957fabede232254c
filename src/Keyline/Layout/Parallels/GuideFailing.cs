namespace Keyline.Layout.Parallels;

/// <summary>Why parallels of a guide are not taken farther.</summary>
internal enum GuideFailing
{
    /// <summary>They would be steeper than the limit.</summary>
    TooSteep,

    /// <summary>They would fall toward the valley.</summary>
    WrongDrift,

    /// <summary>They would bend tighter than the radius.</summary>
    TooTight,

    /// <summary>They do not reach: the guide ends.</summary>
    OutOfReach,

    /// <summary>They would end in the field more often.</summary>
    LineEnds,
}
