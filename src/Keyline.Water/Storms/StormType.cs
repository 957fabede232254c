namespace Keyline.Water;

/// <summary>How the rain of a day is spread over it.</summary>
public enum StormType
{
    /// <summary>Type II of the United States Soil Conservation Service: most of the interior of North America.</summary>
    TypeII,

    /// <summary>Type III: the Gulf and the Atlantic coast of North America.</summary>
    TypeIII,
}
